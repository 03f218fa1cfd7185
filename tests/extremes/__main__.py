"""Crosses absurd values with every word of a question, and prints those that no answer hears.

python -m tests.extremes --questions 50000 --seed 1
"""

from __future__ import annotations

import argparse
import sys
import time

import orjson

from tests.extremes.running import Running

SHOWN = 12


def main(arguments: list[str] | None = None) -> int:
    """Ask so many extremes, each with its sound twin. Gives 1 where any was silent or any twin not judged."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--questions", type=int, default=3000)
    parser.add_argument("--seed", type=int, default=0)
    parser.add_argument(
        "--shown", type=int, default=SHOWN, help="how many kinds of faults to print, smallest questions"
    )
    read = parser.parse_args(arguments)
    started = time.perf_counter()
    running = Running(read.seed)
    faults = running.ask(read.questions, most_kinds=read.shown)
    for fault in faults:
        sys.stdout.write(
            f"{fault.extreme}: {fault.says} ({fault.times} times)\n  {orjson.dumps(fault.question).decode()}\n"
        )
    silent = sum(fault.times for fault in faults)
    asked = running.counts.pop("asked")
    counts = ", ".join(f"{count} {name}" for name, count in running.counts.most_common())
    sys.stdout.write(
        f"{asked} extremes, each with a twin: {silent} at fault; {counts}; "
        f"{running.covered}; {time.perf_counter() - started:.0f} s\n"
    )
    return 1 if silent else 0


if __name__ == "__main__":
    sys.exit(main())
