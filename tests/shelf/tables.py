"""Tables of a shelf in a few words, for the tests beside this file: as CSV files, and as a workbook."""

from __future__ import annotations

import io
from collections.abc import Callable, Mapping, Sequence
from typing import Any

import openpyxl

from splicewright.shelf.importing import Imported, imported
from splicewright.shelf.listings import listings_of
from splicewright.shelf.tables import tables_in_files, tables_in_workbook
from tests.sheets.tables import ods_of, ods_sheet

Sheets = Mapping[str, Sequence[Sequence[Any]]]
CONNECTORS = [["connector", "method", "places", "material"], ["mine", "twist-on", "dry", "copper"]]
FILLINGS = [
    ["connector", "filling", "size", "construction", "at least", "at most"],
    ["mine", "1", "14 AWG", "solid", 2, 3],
]
SOUND: Sheets = {"connectors": CONNECTORS, "fillings": FILLINGS}


def with_cells(sheet: str, *rows: Sequence[Any], **sheets: Sequence[Sequence[Any]]) -> Sheets:
    """Give the sound tables with one sheet's rows in place of its own, and further sheets."""
    return {**SOUND, sheet: list(rows), **sheets}


def column(sheet: str, heading: str, value: Any, **sheets: Sequence[Sequence[Any]]) -> Sheets:
    """Give the sound tables with a column of one sheet that says this in its only row, in place of what it says."""
    head, row = SOUND[sheet]
    if heading in head:
        at = list(head).index(heading)
        return with_cells(sheet, head, [value if here == at else one for here, one in enumerate(row)], **sheets)
    return with_cells(sheet, [*head, heading], [*row, value], **sheets)


def workbook(sheets: Sheets, change: Callable[[Any], object] | None = None) -> bytes:
    """Write sheets as a workbook; `change` may do what it likes to it first."""
    book: Any = openpyxl.Workbook()
    book.remove(book.active)
    for name, rows in sheets.items():
        page = book.create_sheet(name)
        for row in rows:
            page.append(list(row))
    if change:
        change(book)
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


def read(sheets: Sheets, change: Callable[[Any], object] | None = None) -> Imported:
    """Import sheets as a workbook."""
    return imported(listings_of(tables_in_workbook(workbook(sheets, change), "xlsx")), "mine", "mine.xlsx")


def ods_workbook(sheets: Sheets) -> bytes:
    """Write sheets as an ODS workbook; a cell that begins with `<` is XML."""
    return ods_of("".join(ods_sheet(name, rows) for name, rows in sheets.items()))


def read_ods(sheets: Sheets) -> Imported:
    """Import sheets as an ODS workbook."""
    return imported(listings_of(tables_in_workbook(ods_workbook(sheets), "ods")), "mine", "mine.ods")


def read_files(files: Mapping[str, str]) -> Imported:
    """Import CSV files."""
    return imported(listings_of(tables_in_files({name: text.encode() for name, text in files.items()})), "mine", "mine")


def faults(sheets: Sheets, change: Callable[[Any], object] | None = None) -> list[str]:
    """Give the faults of sheets, as printed."""
    return [str(fault) for fault in read(sheets, change).faults]


def connector(sheets: Sheets) -> dict[str, Any]:
    """Give the one connector of sheets that hold no fault, without where it was read."""
    found = read(sheets)
    assert found.catalogue is not None, [str(fault) for fault in found.faults]
    (one,) = found.catalogue["connectors"]
    return {key: value for key, value in one.items() if key != "from"}
