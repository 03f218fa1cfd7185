"""The bench's table: what was measured, the figure to reach, and the ratio of the two."""

from __future__ import annotations

import math
import statistics
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Protocol


@dataclass(frozen=True)
class Figure:
    """What a row should reach. `words` says whose figure it is where it was measured too."""

    value: float
    most: bool  # whether less is better
    words: str = ""

    def __str__(self) -> str:
        """Give it as printed: `at most 3.50`."""
        text = f"at {'most' if self.most else 'least'} {number(self.value)}"
        return f"{text}: {self.words}" if self.words else text


@dataclass(frozen=True)
class Row:
    """One thing that was measured several times. One without a figure may be told against another row."""

    what: str
    values: Sequence[float]
    unit: str
    figure: Figure | None = None
    against: tuple[str, Row] | None = None

    @property
    def median(self) -> float:
        """The median of what was measured."""
        return statistics.median(self.values)

    @property
    def ratio(self) -> str:
        """The ratio to the figure, 1 or more where it is reached; or to another row, with its name."""
        if self.figure:
            most, least = (self.figure.value, self.median) if self.figure.most else (self.median, self.figure.value)
            reached = most / least if least else math.inf
            return f"{reached:.2f}" if reached >= 1 else f"{reached:.2f}, not reached"
        if self.against:
            other = self.against[1].median
            return f"{self.median / other if other else math.inf:.2f} x {self.against[0]}"
        return ""

    @staticmethod
    def head() -> tuple[str, ...]:
        """Give the head of the table."""
        return ("what", "median", "min to max", "unit", "figure to reach", "ratio")

    def cells(self) -> tuple[str, ...]:
        """Give the row as printed."""
        span = f"{number(min(self.values))} to {number(max(self.values))}"
        return (self.what, number(self.median), span, self.unit, str(self.figure or ""), self.ratio)


def number(value: float) -> str:
    """Write a number to three digits or more: `3.46`, `82.1`, `2,140`."""
    decimals = 2 if value < 10 else 1 if value < 100 else 0
    return f"{value:,.{decimals}f}"


class Line(Protocol):
    """A line of a table of its own kind."""

    def head(self) -> tuple[str, ...]:
        """Give the head of its table."""

    def cells(self) -> tuple[str, ...]:
        """Give it as printed."""


#: What a part of the bench gives: lines of tables, and sentences.
Measured = Line | str


def table(rows: Iterable[Line]) -> str:
    """Write lines of one kind as a Markdown table, its columns in line."""
    rows = list(rows)
    cells = [rows[0].head(), *(row.cells() for row in rows)]
    widths = [max(map(len, column)) for column in zip(*cells, strict=True)]
    lines = ["| " + " | ".join(map(str.ljust, line, widths)) + " |" for line in cells]
    lines.insert(1, "|" + "|".join("-" * (width + 2) for width in widths) + "|")
    return "\n".join(lines) + "\n"


def report(measured: Iterable[Measured]) -> str:
    """Write all that was measured: a table for each kind of lines, then the sentences."""
    kinds: dict[type, list[Line]] = {}
    sentences = []
    for one in measured:
        if isinstance(one, str):
            sentences.append(f"{one}\n")
        else:
            kinds.setdefault(type(one), []).append(one)
    return "\n".join([*map(table, kinds.values()), *sentences])
