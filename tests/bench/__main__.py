"""Measures everything in one run, prints its tables, and writes them into `tests/bench/README.md`. Linux only.

python -m tests.bench            all of it; some twenty minutes on two cores, 3 GB of temporary files
python -m tests.bench --quick    smaller, in some two minutes
python -m tests.bench --only derivation --only answers
python -m tests.bench --against ../before    this version and another, checked out there, in alternation

Only a whole run (without --quick and --only) writes the page.
Derivation and cold answers are in processor seconds, so that other work on the machine weighs less; jobs, batches, HTTP
and start-up are by the clock. Exits with 1 where a peer does not derive what the engine derives: nothing is timed then.
The peers need `pip install -e '.[bench]'`; without it their rows are missing.
"""

from __future__ import annotations

import argparse
import sys
import time
from collections.abc import Callable, Iterable, Iterator, Sequence
from pathlib import Path

from tests.bench import against, answers, batch, derivation, growth, machine, over_http, page, stacks, startup, stock
from tests.bench.sizes import FULL, QUICK, Sizes
from tests.bench.table import Measured, report

PARTS: dict[str, Callable[[Sizes], Iterator[Measured]]] = {
    "derivation": derivation.rows,
    "answers": answers.rows,
    "batch": batch.rows,
    "http": over_http.rows,
    "startup": startup.rows,
    "growth": growth.rows,
    "stock": stock.rows,
    "stacks": stacks.rows,
}
_LEGEND = """
ratio: to the figure to reach, 1 or more where it is reached; where there is none, to the row named.
"""


def main(arguments: Sequence[str] | None = None) -> int:
    """Run the bench. Gives 1 where a peer disagrees."""
    parser = argparse.ArgumentParser(
        prog="python -m tests.bench", description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--quick", action="store_true", help="do less of everything")
    parser.add_argument("--only", action="append", choices=PARTS, help="a part to run; may be given again")
    parser.add_argument("--note", default="", help="what else the page says of this run, such as what ran beside it")
    parser.add_argument("--against", type=Path, metavar="CHECKOUT", help="compare with another version instead")
    options = parser.parse_args(arguments)
    sizes = QUICK if options.quick else FULL
    if options.against:
        sys.stdout.write(f"{machine.described()}\n{report(against.measured(options.against, sizes))}")
        return 0
    sys.stdout.write(f"{machine.described()}\n")
    try:
        found = list(_run(options.only or PARTS, sizes))
    except derivation.Disagreement as error:
        sys.stdout.write(f"a peer disagrees: {error}\n")
        return 1
    sys.stdout.write(_LEGEND)
    if not (options.quick or options.only):
        text = page.PAGE.read_text(encoding="utf-8")
        page.PAGE.write_text(page.written(text, machine.described(), found, options.note), encoding="utf-8")
    return 0


def _run(parts: Iterable[str], sizes: Sizes) -> Iterator[Measured]:
    """Give what each part measures, and print it at once: what fails later takes nothing of it away."""
    for name in parts:
        started = time.perf_counter()
        found = list(PARTS[name](sizes))
        sys.stdout.write(report(found))
        sys.stdout.flush()
        sys.stderr.write(f"{name}: {time.perf_counter() - started:.0f} s\n")
        yield from found


if __name__ == "__main__":
    sys.exit(main())
