"""Tells whether two versions give the same answers.

python -m tests.same_answers --write FILE --questions 20000 --seed 1    in the one
python -m tests.same_answers --compare FILE                             in the other

FILE (gzip) has a line for each request: digest, way, request and answer, with tabs between. Content digests and the
`answer` keys are left out of what is compared; refusals and faults are compared like answers. What is asked is read
back from FILE. `--compare` exits with 1 where an answer differs.
"""

from __future__ import annotations

import argparse
import difflib
import gzip
import itertools
import os
import sys
import time
from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor
from multiprocessing import get_context
from pathlib import Path
from typing import Any, TypeVar

import orjson

from tests.same_answers.answering import answered, as_lines, started, unlike

_CHUNK = 100
_WIDTH, _SHOWN_LINES = 240, 12
_LOOKED_INTO = 200  # differing answers of which it is told which parts differ
Plain = dict[str, Any]
One, Made = TypeVar("One"), TypeVar("Made")


def _over(work: Callable[[Sequence[One]], list[Made]], items: Sequence[One], processes: int) -> Iterator[Made]:
    """Give what `work` makes of items, in their order."""
    chunks = [items[at : at + _CHUNK] for at in range(0, len(items), _CHUNK)]
    if processes == 1:
        yield from itertools.chain.from_iterable(map(work, chunks))
        return
    with ProcessPoolExecutor(processes, get_context("spawn"), initializer=started) as pool:
        yield from itertools.chain.from_iterable(pool.map(work, chunks))


def write(path: Path, count: int, seed: int, processes: int) -> Counter[str]:
    """Write requests and their answers. Gives how many came of each kind."""
    from tests.same_answers.drawing import drawn  # noqa: PLC0415 - what is asked is drawn here only, and read elsewhere

    asked = [(way, orjson.dumps(one)) for way, one in drawn(count, seed)]
    counts: Counter[str] = Counter()
    with gzip.open(path, "wb", compresslevel=1) as out:
        for line in _over(as_lines, asked, processes):
            out.write(line)
            _, way, _, answer = line.split(b"\t")
            counts[f"{way.decode()}: {_came(orjson.loads(answer))}"] += 1
    return counts


def _came(answer: Any) -> str:
    for key in ("refused", "fault"):
        if key in answer:
            return key
    return str(answer.get("outcome", answer.get("verdict", "answered")))


def _read(path: Path) -> Iterator[tuple[str, str, bytes, bytes]]:
    with gzip.open(path, "rb") as lines:
        for line in lines:
            known, way, asked, answer = line.rstrip(b"\n").split(b"\t")
            yield known.decode(), way.decode(), asked, answer


def compare(path: Path, show: int, processes: int, tell: Callable[[str], Any]) -> int:
    """Answer what a file asks, and tell what differs. Gives how many differ."""
    asked = [line[:3] for line in _read(path)]
    differing = {at for at, differs in enumerate(_over(unlike, asked, processes)) if differs}
    tell(f"{len(asked) - len(differing):,} of {len(asked):,} answers are the same\n")
    ways = Counter(asked[at][1] for at in differing)
    parts: Counter[str] = Counter()
    shown = 0
    for at in itertools.islice(_lines_of(path, differing), _LOOKED_INTO):
        _, way, request, before = at
        old, new = orjson.loads(before), orjson.loads(answered(way, request))
        parts.update(key for key in old.keys() | new.keys() if old.get(key) != new.get(key))
        if shown < show:
            shown += 1
            tell(f"\n{way} {request.decode()}\n{_difference(old, new)}\n")
    if differing:
        tell(f"\ndiffering: {_told(ways)}; their parts, of the first {_LOOKED_INTO}: {_told(parts)}\n")
    return len(differing)


def _lines_of(path: Path, numbers: set[int]) -> Iterator[tuple[str, str, bytes, bytes]]:
    return (line for at, line in enumerate(_read(path)) if at in numbers)


def _difference(old: Plain, new: Plain) -> str:
    """Give a short difference: of each part the first lines; of parts that one side lacks, their beginning."""
    lines = [
        f"{sign} {key}: {orjson.dumps(one[key]).decode()}"
        for sign, one, other in (("-", old, new), ("+", new, old))
        for key in one
        if key not in other
    ]
    for key in old:
        if key in new and old[key] != new[key]:
            texts = [orjson.dumps(one[key], option=orjson.OPT_INDENT_2).decode().splitlines() for one in (old, new)]
            of_part = list(difflib.unified_diff(*texts, n=1, lineterm=""))[2:]
            lines += [f"  {key}:", *of_part[:_SHOWN_LINES], *["…"] * (len(of_part) > _SHOWN_LINES)]
    return "\n".join(line[:_WIDTH] for line in lines)


def _told(counts: Counter[str]) -> str:
    return ", ".join(f"{count:,} {name}" for name, count in counts.most_common())


def main(arguments: Sequence[str] | None = None) -> int:
    """Write or compare. Gives 1 where answers differ."""
    parser = argparse.ArgumentParser(
        prog="python -m tests.same_answers", description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    what = parser.add_mutually_exclusive_group(required=True)
    what.add_argument("--write", type=Path, metavar="FILE")
    what.add_argument("--compare", type=Path, metavar="FILE")
    parser.add_argument("--questions", type=int, default=20_000)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--show", type=int, default=3, help="how many differences to show")
    parser.add_argument("--processes", type=int, default=len(os.sched_getaffinity(0)))
    given = parser.parse_args(arguments)
    begun, differing = time.perf_counter(), 0
    if given.write:
        sys.stdout.write(f"{_told(write(given.write, given.questions, given.seed, given.processes))}\n")
    else:
        differing = compare(given.compare, given.show, given.processes, sys.stdout.write)
    sys.stdout.write(f"{time.perf_counter() - begun:.0f} s\n")
    return 1 if differing else 0


if __name__ == "__main__":
    sys.exit(main())
