"""A table as it stands in a file: numbered rows of cells, and where each of them is found again."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

#: Kinds of file with tables, by the ending of the name.
KINDS = {".csv": "csv", ".tsv": "tsv", ".xlsx": "xlsx", ".ods": "ods"}
MOST_ROWS, MOST_COLUMNS = 200_000, 200
MOST_CELLS = 5_000_000  # of all tables of a file, empty ones counted


class NoTable(ValueError):
    """The file, or a row of it, can't be read as a table at all. `row` counts from 1; None: the file as a whole."""

    def __init__(self, says: str, row: int | None = None) -> None:
        super().__init__(says)
        self.says, self.row = says, row


@dataclass(frozen=True, slots=True)
class Spot:
    """A place in a file, counted from 1: a line and column of text, or a cell of a sheet."""

    line: int
    column: int | None = None
    sheet: str | None = None
    cell: str | None = None
    heading: str | None = None  # of the column, in a table


@dataclass(frozen=True, slots=True)
class Row:
    """One row: its number (the line on which it begins, in a CSV file) and the values of its cells.

    A value is text; in a workbook also a number, true or false, a day or time, or `Unusable`.
    """

    number: int
    values: Sequence[Any]


@dataclass(frozen=True, slots=True)
class Unusable:
    """A cell that holds no value to read, and why; with its text, where it has one that is not sure."""

    says: str
    text: str = ""

    def __str__(self) -> str:
        """Give its text, for what only names or shows it."""
        return self.text


#: Cells that are merged: row and column of both ends, from 0.
Merged = tuple[tuple[int, int], tuple[int, int]]


@dataclass(frozen=True, slots=True)
class Grid:
    """The headings and rows of one table. `sheet` is its name in a workbook, None in a CSV file."""

    sheet: str | None
    head: Row
    rows: Sequence[Row]
    complaints: Sequence[tuple[int, int, str]] = ()  # row, column (from 0) and what is wrong there
    hidden: bool = False  # the sheet is not shown
    merged: Sequence[Merged] = ()

    def is_merged(self, row: int, column: int) -> bool:
        """Tell whether the cell in row number `row` and column `column` (from 0) is merged with others."""
        return any(low[0] < row <= high[0] + 1 and low[1] <= column <= high[1] for low, high in self.merged)

    def spot(self, row: int, column: int) -> Spot:
        """Give the place of the cell in row number `row` and column `column` (from 0)."""
        heading = str(self.head.values[column]).strip() if column < len(self.head.values) else None
        if self.sheet is None:
            return Spot(row, heading=heading)
        return Spot(row, column + 1, self.sheet, f"{letters(column)}{row}", heading)


def letters(column: int) -> str:
    """Give the letters of a column (from 0): A, B, …, Z, AA."""
    found = ""
    column += 1
    while column:
        column, rest = divmod(column - 1, 26)
        found = chr(ord("A") + rest) + found
    return found


def blank(value: Any) -> bool:
    """Tell whether a cell holds nothing but space."""
    return value is None or (isinstance(value, str) and not value.strip())
