"""Small tables for tests."""

from __future__ import annotations

import datetime as dt
import io
import zipfile
from collections.abc import Iterable, Sequence
from typing import Any

import openpyxl

from splicewright.sheets.joints import SheetJoint, is_head, read_headings, read_joints
from splicewright.sheets.table import Grid
from splicewright.sheets.text_table import read_text_table
from splicewright.sheets.xlsx_file import read_xlsx


def grid_of(text: str | bytes) -> Grid:
    """Give the table of a CSV text."""
    found = read_text_table(text if isinstance(text, bytes) else text.encode(), is_head)
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


def ods(*rows: list[Any], title: str = "Joints", beside: str = "") -> bytes:
    """Give an ODS workbook with one sheet: text, numbers, and cells written as XML. `beside` follows the rows."""
    return ods_of(ods_sheet(title, rows, beside))


def ods_sheet(name: str, rows: Iterable[Sequence[Any]], beside: str = "", style: str = "ta1") -> str:
    """Give a sheet of an ODS workbook, as XML."""
    body = "".join(f"<table:table-row>{''.join(map(_ods_cell, row))}</table:table-row>" for row in rows)
    return f'<table:table table:name="{name}" table:style-name="{style}">{body}{beside}</table:table>'


def ods_of(tables: str, styles: str = "") -> bytes:
    """Give an ODS workbook with these tables and styles, as XML."""
    spaces = " ".join(f'xmlns:{name}="urn:{name}"' for name in ("office", "style", "table", "text", "calcext"))
    begin = f"<office:document-content {spaces}>"
    begin += f"<office:automatic-styles>{styles}</office:automatic-styles><office:body><office:spreadsheet>"
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as archive:
        archive.writestr("mimetype", "application/vnd.oasis.opendocument.spreadsheet")
        archive.writestr("content.xml", f"{begin}{tables}</office:spreadsheet></office:body></office:document-content>")
    return out.getvalue()


def _ods_cell(value: Any) -> str:
    if value is None:
        return "<table:table-cell/>"
    if isinstance(value, dt.date):
        return (
            f'<table:table-cell office:value-type="date" office:date-value="{value}"><text:p>{value}</text:p>'
            "</table:table-cell>"
        )
    if isinstance(value, str) and value.startswith("<"):
        return value
    if isinstance(value, str):
        return f'<table:table-cell office:value-type="string"><text:p>{value}</text:p></table:table-cell>'
    return (
        f'<table:table-cell office:value-type="float" office:value="{value}"><text:p>{value}</text:p>'
        "</table:table-cell>"
    )
