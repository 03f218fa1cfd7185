"""This version against another one, checked out elsewhere: complete answers, a large job and `choose`, in alternation.

Both are installed, and asked by this version's bench, each side in a process of its own in every run; of its questions
those that both answer.
"""

from __future__ import annotations

import statistics
import subprocess
import tempfile
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

import orjson

from tests.bench.answers import COLD, outcomes
from tests.bench.pairs import Side, Spread, Taken, paired
from tests.bench.processes import CHECKOUT, environment, installed, splicewright
from tests.bench.questions import the_set
from tests.bench.sizes import Sizes
from tests.bench.stock import DIFFERENT, large_job
from tests.bench.table import Measured, number
from tests.bench.timing import children_seconds, wall_seconds

_HERE, _THERE = "here", "there"


@dataclass(frozen=True)
class Pair:
    """One thing measured of both, run by run: seconds, so that less is better."""

    what: str
    here: Sequence[float]
    there: Sequence[float]
    scale: float
    unit: str

    @staticmethod
    def head() -> tuple[str, ...]:
        """Give the head of the table."""
        return ("what", _HERE, _THERE, "unit", "there to here, run by run", "min to max")

    def cells(self) -> tuple[str, ...]:
        """Give the row as printed; a ratio above 1 means that this version is the quicker."""
        ratios = [there / here for here, there in zip(self.here, self.there, strict=True)]
        medians = (number(self.scale * statistics.median(some)) for some in (self.here, self.there))
        return (self.what, *medians, self.unit, f"{statistics.median(ratios):.3f}", _span(ratios))


def _span(ratios: Sequence[float]) -> str:
    return f"{min(ratios):.3f} to {max(ratios):.3f}"


def measured(checkout: Path, sizes: Sizes) -> Iterator[Measured]:
    """Measure both versions."""
    with tempfile.TemporaryDirectory() as made:
        folders = {name: Path(made, name) for name in (_HERE, _THERE)}
        for folder in folders.values():
            folder.mkdir()
        each = zip(folders.items(), (CHECKOUT, checkout.resolve()), strict=True)
        yield from _compared({name: installed(source, folder) for (name, folder), source in each}, sizes)


def _compared(checkouts: Mapping[str, Path], sizes: Sizes) -> Iterator[Measured]:
    asked = taken_by_all(checkouts, the_set(sizes.questions))
    spreads: list[Spread] = []
    for explain in COLD:
        found = paired({name: Side("answers", (explain,), each) for name, each in checkouts.items()}, asked, sizes.runs)
        what = f"cold complete answer, {explain}"
        for name, first in ((what, None), (f"{what}: the first 100", 100)):
            yield _of_sides(name, found, first, 1e6 / len(asked[:first]), "µs")
        spreads += [Spread(f"{what}, {name}", some) for name, some in found.items()]
        for name, some in found.items():
            yield f"Of the {len(asked):,} questions, {explain}, {name}: {outcomes(some[0])}."
    job = orjson.dumps(large_job(sizes.joints, min(DIFFERENT, sizes.joints)))
    found = paired({name: Side("job", (), each) for name, each in checkouts.items()}, [job], sizes.runs)
    yield _of_sides(f"job of {sizes.joints:,} joints, rules read anew", found, None, 1, "s")
    yield from _choose(checkouts, asked[0], sizes.runs)
    yield from spreads


def taken_by_all(checkouts: Mapping[str, Path], questions: Sequence[bytes]) -> list[bytes]:
    """Give the questions that every version answers: an earlier one does not know the words of a later one."""
    found = paired({name: Side("takes", (), each) for name, each in checkouts.items()}, questions, 1)
    taken = zip(*[runs[0].came["takes"] for runs in found.values()], strict=True)
    return [question for question, each in zip(questions, taken, strict=True) if all(each)]


def _of_sides(what: str, found: dict[str, list[Taken]], first: int | None, scale: float, unit: str) -> Pair:
    here, there = ([one.seconds(first) for one in found[name]] for name in (_HERE, _THERE))
    return Pair(what, here, there, scale, unit)


def _choose(checkouts: Mapping[str, Path], question: bytes, runs: int) -> Iterator[Pair]:
    passed: dict[str, list[float]] = {name: [] for name in checkouts}
    used: dict[str, list[float]] = {name: [] for name in checkouts}
    for run in range(runs + 1):
        for name in sorted(checkouts, reverse=run % 2 == 1):
            with children_seconds() as processor:
                seconds = wall_seconds(lambda name=name: _start(checkouts[name], question))
            if run:  # the first finds no files in memory
                passed[name].append(seconds)
                used[name] += processor
    yield Pair("splicewright choose, process start to end", passed[_HERE], passed[_THERE], 1, "s")
    yield Pair("splicewright choose: processor time", used[_HERE], used[_THERE], 1, "s")


def _start(checkout: Path, question: bytes) -> None:
    command = splicewright("choose", "-")
    done = subprocess.run(command, env=environment(checkout), input=question, stdout=subprocess.DEVNULL, check=False)
    if done.returncode not in (0, 1):  # 1: there is no option
        raise subprocess.CalledProcessError(done.returncode, command)
