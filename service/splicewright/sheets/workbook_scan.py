"""What the fast reader of workbooks does not tell: cells in error, formulas never calculated, how far a sheet goes.

The reader lays a sheet out as a full rectangle, so a single cell in the farthest corner would take all memory; it gives
each cell a copy of its text, so one long text that many cells share would too; and it gives a cell in error as an empty
one, for which a default would then be filled in. So the XML is looked through before, by a parser of its own.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import NoReturn
from xml.parsers import expat

from splicewright.sheets.table import MOST_CELLS, MOST_COLUMNS, MOST_ROWS, NoTable, letters
from splicewright.sheets.workbook_parts import WorkbookParts, read_xml

MOST_TEXT = 100_000_000  # characters of all cells of a workbook, shared ones counted in each
_REFERENCE = re.compile(r"([A-Za-z]{1,3})([0-9]{1,7})")


@dataclass(frozen=True, slots=True)
class Scan:
    """What was seen in one sheet. Cells are named as in `C12`."""

    errors: frozenset[str]
    never_calculated: frozenset[str]


def scan_workbook(parts: WorkbookParts) -> dict[str, Scan]:
    """Look through each sheet, by its name. Raises `NoTable` where it is no sheet, or goes too far."""
    try:
        shared = _lengths(parts.texts) if parts.texts is not None else []
        bounds = _Bounds(shared)
        return {name: _Scanning(name, bounds).of(text) for name, text in parts.sheets.items()}
    except expat.ExpatError:
        raise NoTable("is no XLSX workbook, or is damaged or locked") from None


def _lengths(text: bytes) -> list[int]:
    """Give the length of each shared text."""
    found: list[int] = []

    def started(name: str, _: dict[str, str]) -> None:
        if name == "si":
            found.append(0)

    def read(text: str) -> None:
        if found:
            found[-1] += len(text)

    read_xml(text, started, CharacterDataHandler=read)
    return found


class _Bounds:
    """What all sheets of a workbook may hold together."""

    def __init__(self, shared: list[int]) -> None:
        self.shared = shared
        self.cells, self.text = MOST_CELLS, MOST_TEXT


class _Scanning:
    """Looks through one sheet, cell by cell."""

    def __init__(self, name: str, bounds: _Bounds) -> None:
        self._name, self._bounds = name, bounds
        self._row = self._column = 0  # of the latest cell, from 1
        self._rows = self._columns = 0  # as far as any cell goes
        self._at = (0, 0)
        self._kind, self._formula = "", False
        self._value: list[str] | None = None  # of the cell that is open
        self._text = ""
        self._errors: list[str] = []
        self._never: list[str] = []

    def of(self, text: bytes) -> Scan:
        """Look it through."""
        read_xml(text, self._started, EndElementHandler=self._ended, CharacterDataHandler=self._read)
        self._bounds.cells -= self._rows * self._columns
        if self._bounds.cells < 0:
            says = f"the sheet {self._name!r} goes to {letters(self._columns - 1)}{self._rows}"
            raise NoTable(f"{says}; a workbook's sheets may go to {MOST_CELLS:,} cells together, empty ones counted")
        return Scan(frozenset(self._errors), frozenset(self._never))

    def _started(self, name: str, given: dict[str, str]) -> None:
        if name == "c":
            self._at = self._place(given.get("r"))
            self._kind, self._formula, self._text = given.get("t", ""), False, ""
        elif name == "v":
            self._value = []
        elif name == "f":
            self._formula = True
        elif name == "row":
            number = given.get("r", "")
            self._row = int(number) if number.isascii() and number.isdecimal() and len(number) < 8 else self._row + 1
            self._column = 0
            if number and len(number) > 7:
                self._far(f"row {number[:20]}")
            self._reaches(self._row, 0)

    def _read(self, text: str) -> None:
        if self._value is not None:
            self._value.append(text)

    def _ended(self, name: str) -> None:
        name = name.rpartition(":")[2]
        if name == "v" and self._value is not None:
            self._text, self._value = "".join(self._value), None
        elif name == "c":
            self._close()

    def _close(self) -> None:
        kind, text = self._kind, self._text.strip()
        if kind == "s":
            at = int(text) if text.isascii() and text.isdecimal() and len(text) < 10 else -1
            if not 0 <= at < len(self._bounds.shared):
                raise NoTable(f"is damaged: cell {self._cell} of the sheet {self._name!r} has a text that is not there")
            self._bounds.text -= self._bounds.shared[at]
            if self._bounds.text < 0:
                says = f"the text of its cells is longer than {MOST_TEXT:,} characters"
                raise NoTable(f"{says}, at {self._cell} of the sheet {self._name!r}")
        elif kind == "e":
            self._errors.append(self._cell)
        if self._formula and not text and kind != "str":
            self._never.append(self._cell)

    @property
    def _cell(self) -> str:
        row, column = self._at
        return f"{letters(column - 1)}{row}"

    def _place(self, reference: str | None) -> tuple[int, int]:
        """Give row and column of a cell; one that does not say where it is stands after the one before."""
        if reference is None:
            row, self._column = max(self._row, 1), self._column + 1
        else:
            match = _REFERENCE.fullmatch(reference)
            if match is None:
                self._far(reference[:20])
            row, self._column = int(match[2]), _number(match[1])
        self._reaches(row, self._column)
        return row, self._column

    def _reaches(self, row: int, column: int) -> None:
        if row > MOST_ROWS or column > MOST_COLUMNS:
            self._far(f"{letters(column - 1)}{row}" if column else f"row {row}")
        self._rows, self._columns = max(self._rows, row), max(self._columns, column)

    def _far(self, cell: str) -> NoReturn:
        says = f"the sheet {self._name!r} goes beyond {MOST_ROWS:,} rows or {MOST_COLUMNS} columns"
        raise NoTable(f"{says}, at {cell!r}")


def _number(letters: str) -> int:
    number = 0
    for letter in letters.upper():
        number = number * 26 + ord(letter) - 64
    return number
