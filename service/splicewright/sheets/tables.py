"""The tables of joints in a file of any kind that has tables."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from functools import partial

from splicewright.sheets.joints import is_head
from splicewright.sheets.ods_file import read_ods
from splicewright.sheets.table import Grid, Row
from splicewright.sheets.text_table import IsHead, read_text_table, unsure_number
from splicewright.sheets.xlsx_file import read_xlsx

#: What reads each kind of workbook: every sheet, and each cell as it stands.
WORKBOOKS: Mapping[str, Callable[[bytes, IsHead], list[Grid]]] = {"xlsx": read_xlsx, "ods": read_ods}
LARGEST = {"csv": 50_000_000, "tsv": 50_000_000, "xlsx": 25_000_000, "ods": 25_000_000}  # bytes


def read_tables(data: bytes, kind: str, mapped: Mapping[str, str] | None = None) -> list[Grid]:
    """Read each table that has a row, whatever it is about. Raises `NoTable`.

    `mapped` gives for headings of the user's own the columns that they are (`read_headings`).
    """
    heads = partial(is_head, mapped=mapped)
    if kind in WORKBOOKS:
        return [_marked(grid) for grid in WORKBOOKS[kind](data, heads)]
    found = read_text_table(data, heads, "\t" if kind == "tsv" else None)
    return [found] if found else []


def _marked(grid: Grid) -> Grid:
    """Mark what no number of a joint is sure to mean."""
    return replace(grid, rows=[Row(row.number, [unsure_number(value) for value in row.values]) for row in grid.rows])


def head_in_text(data: bytes, mapped: Mapping[str, str] | None = None) -> bool:
    """Tell by its first lines alone whether a text file that can't be read as a table was meant for us.

    One that may be text in another encoding counts as ours, so that it is told and not passed over.
    """
    begin = data[:10_000]
    if b"\0" in begin:
        begin = begin.replace(b"\0", b"")
    for line in begin.decode("utf-8", "replace").splitlines()[:10]:
        sign = max(",;\t|", key=line.count)
        cells = [cell.strip("\"' \ufeff\ufffd") for cell in line.split(sign)]
        if is_head(cells, mapped):
            return True
    return False
