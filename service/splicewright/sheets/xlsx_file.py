"""Reads the sheets of an XLSX workbook into grids."""

from __future__ import annotations

import datetime as dt
from io import BytesIO
from typing import Any

from splicewright.sheets.table import Grid, NoTable, Row, Unusable, blank, letters
from splicewright.sheets.workbook_parts import pack, unpack
from splicewright.sheets.workbook_scan import Scan, scan_workbook

_NEVER = Unusable("holds a formula that was never calculated; open the file in a spreadsheet program and save it")
_ERROR = Unusable("holds an error of the spreadsheet's (such as #REF!), no value")
_VALUES = (str, float, int, bool, dt.date, dt.time, dt.timedelta)


def read_xlsx(data: bytes) -> list[Grid]:
    """Read each sheet that has a row, whatever it is about. Raises `NoTable`."""
    from python_calamine import CalamineError, CalamineWorkbook  # noqa: PLC0415 - of no use to any other file

    parts = unpack(data)
    scans = scan_workbook(parts)
    try:
        book = CalamineWorkbook.from_filelike(BytesIO(pack(parts)))
        found = [_grid(book.get_sheet_by_index(at), name, scan) for at, (name, scan) in enumerate(scans.items())]
    except CalamineError as error:
        raise NoTable(f"is no XLSX workbook: {str(error)[:100]}") from None
    return [grid for grid in found if grid is not None]


def _grid(sheet: Any, name: str, scan: Scan) -> Grid | None:
    unusable = dict.fromkeys(scan.errors, _ERROR) | dict.fromkeys(scan.never_calculated, _NEVER)
    given = enumerate(sheet.to_python(skip_empty_area=False), start=1)
    numbered = (Row(number, _values(values, number, unusable)) for number, values in given)
    rows = [row for row in numbered if not all(blank(value) for value in row.values)]
    if not rows:
        return None
    head, *others = rows
    complaints = [
        (low[0] + 1, low[1], f"is merged with others to {letters(high[1])}{high[0] + 1}; write the value in each cell")
        for low, high in sheet.merged_cell_ranges or ()
        if high[0] + 1 >= head.number
    ]
    beyond = [
        (row.number, at, "stands beyond the last heading; give its column a heading, or empty it")
        for row in others
        for at in range(_width(head), len(row.values))
        if not blank(row.values[at])
    ]
    return Grid(name, Row(head.number, list(head.values)[: _width(head)]), others, [*complaints, *beyond])


def _width(head: Row) -> int:
    return max(at for at, value in enumerate(head.values) if not blank(value)) + 1


def _values(given: list[Any], number: int, unusable: dict[str, Unusable]) -> list[Any]:
    if not unusable:
        return given
    return [unusable.get(f"{letters(at)}{number}", value) for at, value in enumerate(given)]
