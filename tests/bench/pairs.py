"""Sides run in turn, each in a process of its own, and what each took for the questions that it had never seen."""

from __future__ import annotations

import statistics
import subprocess
import tempfile
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import orjson

from tests.bench.processes import CHECKOUT, bench_module, environment
from tests.bench.table import number

HUNDREDS = 3  # of which the rate is told by itself


class WrongPackage(AssertionError):
    """A side was answered by the package of another checkout than its own."""


@dataclass(frozen=True)
class Taken:
    """What one side took in one run: nanoseconds for each question in the order asked, and what came of it."""

    ns: Sequence[int]
    came: Mapping[str, Any] = field(default_factory=dict)

    def seconds(self, first: int | None = None) -> float:
        """Give the seconds for all questions, or for the first so many."""
        return sum(self.ns[:first]) / 1e9

    def rate(self, part: slice = slice(None)) -> float:
        """Give the questions a second of a part of them."""
        some = self.ns[part]
        return 1e9 * len(some) / sum(some)

    def quantile(self, share: float) -> float:
        """Give the microseconds that this share of the questions took at most."""
        return sorted(self.ns)[round(share * (len(self.ns) - 1))] / 1000


@dataclass(frozen=True)
class Side:
    """A module of `sides/` with its arguments, of a checkout."""

    module: str
    arguments: tuple[str, ...] = ()
    checkout: Path = CHECKOUT

    def run(self, given: Path) -> Taken:
        """Have what a file has answered. Raises `WrongPackage`, and CalledProcessError where it did not end well."""
        command = bench_module(f"sides.{self.module}", *self.arguments)
        with given.open("rb") as asked:
            done = subprocess.run(
                command, cwd=CHECKOUT, env=environment(self.checkout), stdin=asked, stdout=subprocess.PIPE, check=True
            )
        came = orjson.loads(done.stdout)
        if not Path(came["from"]).is_relative_to(self.checkout):
            raise WrongPackage(f"{came['from']} answered for {self.checkout}")
        return Taken(came["ns"], came)


def paired(sides: Mapping[str, Side], given: Sequence[bytes], runs: int) -> dict[str, list[Taken]]:
    """Give what each side took in each run. A run has each side once, beginning with another one each time."""
    names = list(sides)
    found: dict[str, list[Taken]] = {name: [] for name in names}
    with tempfile.TemporaryDirectory() as folder:
        asked = Path(folder) / "asked"
        asked.write_bytes(b"\n".join(given))
        for run in range(runs):
            first = run % len(names)
            for name in names[first:] + names[:first]:
                found[name].append(sides[name].run(asked))
    return found


@dataclass(frozen=True)
class Spread:
    """How the time of one side spreads over its questions, told beside the rates: of each figure the median run's."""

    what: str
    runs: Sequence[Taken]

    @staticmethod
    def head() -> tuple[str, ...]:
        """Give the head of the table."""
        hundreds = (f"{100 * at + 1} to {100 * at + 100}" for at in range(HUNDREDS))
        return ("what", "questions", *hundreds, "all", "all, min to max", "p50", "p99", "max")

    def cells(self) -> tuple[str, ...]:
        """Give the row as printed: rates a second, then microseconds."""
        hundreds = [slice(100 * at, 100 * at + 100) for at in range(HUNDREDS)]
        rates, count = [run.rate() for run in self.runs], len(self.runs[0].ns)
        return (
            self.what,
            f"{count:,}",
            *(self._rate(part) if count >= part.stop else "" for part in hundreds),
            number(statistics.median(rates)),
            f"{number(min(rates))} to {number(max(rates))}",
            *(number(statistics.median(run.quantile(share) for run in self.runs)) for share in (0.5, 0.99, 1)),
        )

    def _rate(self, part: slice) -> str:
        return number(statistics.median(run.rate(part) for run in self.runs))
