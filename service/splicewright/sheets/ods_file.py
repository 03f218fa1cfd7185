"""Reads the sheets of an ODS workbook (OpenDocument) into grids.

Its one part of XML is read as a stream, so that nothing is laid out that only says how often it is repeated: a sheet
says of its rest that an empty row comes a million times.
"""

from __future__ import annotations

import datetime as dt
import io
import math
import re
import zipfile
from collections.abc import Callable
from typing import Any

from splicewright.sheets.table import MOST_CELLS, MOST_COLUMNS, MOST_ROWS, Grid, Merged, NoTable, Row, Unusable
from splicewright.sheets.text_table import IsHead
from splicewright.sheets.workbook_parts import DAMAGED, MOST_BYTES, MOST_TAGS, PART_OF_ODS, PART_OF_XLSX, read_xml
from splicewright.sheets.workbook_scan import MOST_TEXT
from splicewright.sheets.xlsx_file import ERROR, NEVER, sheet_grid

MOST_REPEATED = 10_000  # rows with something in them, of which the file has one: it may be of a few bytes
_KIND = b"application/vnd.oasis.opendocument.spreadsheet"
_SHARP = 1e15  # beyond it a number has lost digits
_TOO_MANY = 10_000_000
_CELLS = ("table-cell", "covered-table-cell")
_NUMBERS = ("float", "percentage", "currency")
_WRONG = re.compile(r"(?:#[A-Z/0]+[!?]?|Err:[0-9]{3})")


def read_ods(data: bytes, is_head: IsHead | None = None) -> list[Grid]:
    """Read each sheet that has a row. `is_head` is told at `read_xlsx`. Raises `NoTable`."""
    try:
        return _Reading(is_head).of(_content(data))
    except NoTable:
        raise
    except (*DAMAGED, KeyError):
        raise NoTable("is no ODS workbook, or is damaged or locked") from None


def _content(data: bytes) -> bytes:
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        if PART_OF_XLSX in archive.namelist():
            raise NoTable("is no ODS workbook but an XLSX one; let its name end with .xlsx")
        with archive.open("mimetype") as stream:
            if stream.read(len(_KIND)) != _KIND:
                raise NoTable("is no ODS workbook")
        with archive.open(PART_OF_ODS) as stream:
            text = stream.read(MOST_BYTES + 1)
    if len(text) > MOST_BYTES or text.count(b"<") > MOST_TAGS:
        raise NoTable(f"is larger than {MOST_BYTES:,} bytes or {MOST_TAGS:,} tags when unpacked")
    return text


class _Reading:
    """Reads the part, cell by cell."""

    def __init__(self, is_head: IsHead | None) -> None:
        self._is_head = is_head
        self._grids: list[Grid] = []
        self._cells, self._characters, self._repeated = MOST_CELLS, MOST_TEXT, 0
        self._style = ""  # the latest, which its properties follow
        self._hiding = set[str]()  # styles of sheets that are not shown
        self._begin_sheet("", "")
        self._inside = 0  # of sheets
        self._beside = 0  # of notes on cells, whose text is none of theirs
        self._cell: dict[str, str] | None = None
        self._text: list[str] = []
        self._paragraph = False

    def of(self, text: bytes) -> list[Grid]:
        """Read it."""
        read_xml(text, self._started, EndElementHandler=self._ended, CharacterDataHandler=self._read)
        return self._grids

    def _begin_sheet(self, name: str, style: str) -> None:
        self._hidden = style in self._hiding
        self._name, self._rows, self._row = name, list[Row](), list[Any]()
        self._number, self._repeats = 0, 1
        self._merged: list[Merged] = []
        self._empty = 0  # cells of this row since the last that holds anything

    def _started(self, name: str, given: dict[str, str]) -> None:
        given = {key.rpartition(":")[2]: value for key, value in given.items() if not key.startswith("calcext")} | (
            {"error": "1"} if given.get("calcext:value-type") == "error" else {}
        )
        if name == "annotation":
            self._beside += 1
        elif name == "table":
            self._inside += 1
            if self._inside == 1:
                self._begin_sheet(given.get("name", ""), given.get("style-name", ""))
        elif self._inside == 0:
            self._styled(name, given)
        elif self._inside == 1 and not self._beside:
            self._started_in_sheet(name, given)

    def _styled(self, name: str, given: dict[str, str]) -> None:
        if name == "style":
            self._style = given.get("name", "")
        elif name == "table-properties" and given.get("display") == "false":
            self._hiding.add(self._style)

    def _started_in_sheet(self, name: str, given: dict[str, str]) -> None:
        if name == "table-row":
            self._row, self._empty = [], 0
            self._repeats = _count(given.get("number-rows-repeated"))
        elif name in _CELLS:
            self._cell, self._text = given, []
        elif name == "p":
            self._paragraph = True
            self._text += "\n" if self._text else ""
        elif name == "s":
            self._text.append(" " * min(_count(given.get("c")), MOST_COLUMNS))
        elif name in ("tab", "line-break"):
            self._text.append(" ")

    def _read(self, text: str) -> None:
        if self._paragraph and not self._beside:
            self._text.append(text)

    def _ended(self, name: str) -> None:
        name = name.rpartition(":")[2]
        if name == "annotation":
            self._beside -= 1
        elif name == "table":
            self._inside -= 1
            if self._inside == 0:
                grid = sheet_grid(self._name, self._rows, self._merged, self._is_head, hidden=self._hidden)
                self._grids += [grid] if grid else []
        elif self._inside != 1 or self._beside:
            return
        elif name == "p":
            self._paragraph = False
        elif name in _CELLS and self._cell is not None:
            self._end_cell(self._cell)
            self._cell = None
        elif name == "table-row":
            self._end_row()

    def _end_cell(self, given: dict[str, str]) -> None:
        value, many = _value(given, "".join(self._text)), _count(given.get("number-columns-repeated"))
        if value is None:
            self._empty += many
            return
        at = len(self._row) + self._empty
        if at + many > MOST_COLUMNS:
            raise NoTable(f"the sheet {self._name!r} goes beyond {MOST_ROWS:,} rows or {MOST_COLUMNS} columns")
        self._row += [None] * self._empty + [value] * many
        self._empty = 0
        wide, high = _count(given.get("number-columns-spanned")), _count(given.get("number-rows-spanned"))
        if wide > 1 or high > 1:
            self._merged.append(((self._number, at), (self._number + high - 1, at + wide - 1)))

    def _end_row(self) -> None:
        first, self._number = self._number + 1, self._number + self._repeats
        if not self._row:
            return
        self._cells -= len(self._row) * self._repeats
        if self._number > MOST_ROWS or self._cells < 0:
            raise NoTable(f"the sheet {self._name!r} goes beyond {MOST_ROWS:,} rows or {MOST_CELLS:,} cells")
        self._characters -= sum(len(value) for value in self._row if isinstance(value, str)) * self._repeats
        self._repeated += self._repeats - 1
        if self._characters < 0:
            raise NoTable(f"the cells hold texts longer than {MOST_TEXT:,} characters, at row {self._number}")
        if self._repeated > MOST_REPEATED:
            raise NoTable(f"more than {MOST_REPEATED:,} rows say what the row above them says; give one a quantity")
        self._rows += [Row(number, self._row) for number in range(first, self._number + 1)]


def _count(text: str | None) -> int:
    if not text:
        return 1
    return int(text) if text.isascii() and text.isdecimal() and len(text) < 8 else _TOO_MANY


def _value(given: dict[str, str], text: str) -> Any:
    """Give what a cell holds; None where it holds nothing. Raises ValueError."""
    kind = given.get("value-type")
    if "error" in given or ("formula" in given and _WRONG.fullmatch(text)):
        return ERROR
    if "formula" in given and kind is None:
        return NEVER
    if kind in _NUMBERS:
        number = float(given["value"])
        if not math.isfinite(number):
            raise ValueError(given["value"])
        return int(number) if number.is_integer() and abs(number) < _SHARP else number
    return _OTHERS[kind](given, text) if kind in _OTHERS else text or None


_OTHERS: dict[str | None, Callable[[dict[str, str], str], Any]] = {
    "boolean": lambda given, _: given.get("boolean-value") == "true",
    "date": lambda given, _: dt.datetime.fromisoformat(given["date-value"]),
    "time": lambda _, text: Unusable(f"holds a time ({text[:20]}); format the cell as text and write it anew"),
    "string": lambda given, text: text or given.get("string-value") or None,
}
