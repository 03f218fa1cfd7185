"""Small tables for tests."""

from __future__ import annotations

import io
from typing import Any

import openpyxl

from splicewright.sheets.csv_file import read_csv
from splicewright.sheets.joints import SheetJoint, read_headings, read_joints
from splicewright.sheets.table import Grid
from splicewright.sheets.xlsx_file import read_xlsx


def grid_of(text: str) -> Grid:
    """Give the table of a CSV text."""
    found = read_csv(text.encode())
    assert found is not None
    return found


def joints_of(text: str) -> list[SheetJoint]:
    """Give the joints of a CSV text."""
    grid = grid_of(text)
    return list(read_joints(grid, read_headings(grid)))


def workbook(*rows: list[Any], title: str = "Joints", change: Any = None) -> bytes:
    """Give a workbook with one sheet; `change` may do more to the sheet."""
    book = openpyxl.Workbook()
    sheet = book.active
    assert sheet is not None
    sheet.title = title
    for row in rows:
        sheet.append(row)
    if change:
        change(sheet)
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


def only_grid(data: bytes) -> Grid:
    """Give the one table of a workbook."""
    (found,) = read_xlsx(data)
    return found
