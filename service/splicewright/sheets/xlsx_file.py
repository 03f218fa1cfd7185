"""Reads the sheets of an XLSX workbook into grids."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from io import BytesIO
from typing import Any

from splicewright.sheets.table import Grid, Merged, NoTable, Row, Unusable, blank, letters
from splicewright.sheets.text_table import IsHead, title_rows
from splicewright.sheets.workbook_parts import pack, unpack
from splicewright.sheets.workbook_scan import Scan, scan_workbook

NEVER = Unusable("holds a formula that was never calculated; open the file in a spreadsheet program and save it")
ERROR = Unusable("holds an error of the spreadsheet's (such as #REF!), no value")
_VALUES = (str, float, int, bool, dt.date, dt.time, dt.timedelta)


def read_xlsx(data: bytes, is_head: IsHead | None = None) -> list[Grid]:
    """Read each sheet that has a row, whatever it is about. Raises `NoTable`.

    `is_head` tells the headings: rows above them are titles. Without it the first row has them.
    """
    from python_calamine import CalamineError, CalamineWorkbook  # noqa: PLC0415 - of no use to any other file

    parts = unpack(data)
    scans = scan_workbook(parts)
    try:
        book = CalamineWorkbook.from_filelike(BytesIO(pack(parts)))
        found = [
            _grid(book.get_sheet_by_index(at), name, scan, is_head, hidden=name in parts.hidden)
            for at, (name, scan) in enumerate(scans.items())
        ]
    except CalamineError as error:
        raise NoTable(f"is no XLSX workbook: {str(error)[:100]}") from None
    return [grid for grid in found if grid is not None]


def _grid(sheet: Any, name: str, scan: Scan, is_head: IsHead | None, *, hidden: bool) -> Grid | None:
    unusable = dict.fromkeys(scan.errors, ERROR) | dict.fromkeys(scan.never_calculated, NEVER)
    given = enumerate(sheet.to_python(skip_empty_area=False), start=1)
    rows = [Row(number, _values(values, number, unusable)) for number, values in given]
    return sheet_grid(name, rows, sheet.merged_cell_ranges or (), is_head, hidden=hidden)


def sheet_grid(
    name: str,
    rows: Iterable[Row],
    merged: Iterable[Merged],
    is_head: IsHead | None,
    *,
    hidden: bool,
) -> Grid | None:
    """Make a table of a sheet's rows, and tell cells that are merged."""
    rows = [row for row in rows if not all(blank(value) for value in row.values)]
    if is_head:
        rows = rows[title_rows(rows, is_head) :]
    if not rows:
        return None
    head, *others = rows
    merged = [(low, high) for low, high in merged if high[0] + 1 >= head.number]
    complaints = [
        (low[0] + 1, low[1], f"is merged with others to {letters(high[1])}{high[0] + 1}; write the value in each cell")
        for low, high in merged
    ]
    beyond = [
        (row.number, at, "stands beyond the last heading; give its column a heading, or empty it")
        for row in others
        for at in range(_width(head), len(row.values))
        if not blank(row.values[at])
    ]
    return Grid(
        name, Row(head.number, list(head.values)[: _width(head)]), others, [*complaints, *beyond], hidden, merged
    )


def _width(head: Row) -> int:
    return max(at for at, value in enumerate(head.values) if not blank(value)) + 1


def _values(given: list[Any], number: int, unusable: dict[str, Unusable]) -> list[Any]:
    if not unusable:
        return given
    return [unusable.get(f"{letters(at)}{number}", value) for at, value in enumerate(given)]
