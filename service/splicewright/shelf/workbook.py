"""The tables of a shelf written as a workbook or as CSV files: headings with notes, allowed words, the rows."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from splicewright.catalogue.carton import look_for_column
from splicewright.sheets.spreadsheet_escaping import csv_text, saved, scratch_needed, text_cell
from splicewright.sheets.table import letters
from splicewright.shelf.layout import CATALOGUE, EXAMPLES, SHEETS, Column, Sheet

Rows = Mapping[str, Sequence[Mapping[str, Any]]]  # by sheet, each row by the keys of its columns
_OFFERED_TO = 5_000  # rows
_LONGEST_LIST = 250  # characters that a list of words in a rule of a workbook may have
_NUMBERS = ("whole", "number")
_CARTON_HEADS = ("sheet", "heading", "what it is", "how it is written", "where on a carton it stands")


def cell_of(value: Any) -> Any:
    """Give what a cell holds of a value: text, or a number."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, list):
        return ", ".join(value) if value else "none"
    return value


def csv_files(rows: Rows) -> dict[str, bytes]:
    """Write each sheet as a CSV file, by its name; the first row has the headings."""
    found = {f"{sheet.name}.csv": _csv(_grid(sheet, rows)) for sheet in SHEETS if _wanted(sheet, rows)}
    return {**found, "carton.csv": _csv([_CARTON_HEADS, *_carton()])}


def _wanted(sheet: Sheet, rows: Rows) -> bool:
    return sheet is not CATALOGUE or bool(rows.get(sheet.name))


def _grid(sheet: Sheet, rows: Rows) -> Iterator[Sequence[Any]]:
    yield [column.heading for column in sheet.columns]
    for row in rows.get(sheet.name, ()):
        yield [cell_of(row.get(key)) for key in sheet.keys]


def _csv(grid: Any) -> bytes:
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    for row in grid:
        writer.writerow(["" if one is None else csv_text(one) if isinstance(one, str) else one for one in row])
    return out.getvalue().encode()


def _carton() -> Iterator[tuple[str, ...]]:
    for sheet in SHEETS:
        for column in sheet.columns:
            where = look_for_column(sheet.name, column.heading, column.key)
            yield sheet.name, column.heading, column.about, column.written, where


@scratch_needed()
def workbook(rows: Rows) -> bytes:
    """Write all sheets as a workbook, with one that tells where on a carton each thing stands."""
    import openpyxl  # noqa: PLC0415 - only where a workbook is written

    book: Any = openpyxl.Workbook()
    book.remove(book.active)
    lists = _WordLists(book)
    for sheet in SHEETS:
        if _wanted(sheet, rows):
            _write(book.create_sheet(sheet.name), sheet, rows, lists)
    _explain(book.create_sheet("carton"))
    lists.write()
    return saved(book)


def _write(page: Any, sheet: Sheet, rows: Rows, lists: _WordLists) -> None:
    from openpyxl.comments import Comment  # noqa: PLC0415
    from openpyxl.styles import Font, PatternFill  # noqa: PLC0415

    bold, marked = Font(bold=True), PatternFill("solid", fgColor="FFF2CC")
    page.append([column.heading for column in sheet.columns])
    for cell, column in zip(page[1], sheet.columns, strict=True):
        cell.font = bold
        cell.comment = Comment(column.note, "splicewright", width=260, height=120)
    for row in rows.get(sheet.name, ()):
        values = (cell_of(row.get(key)) for key in sheet.keys)
        page.append([text_cell(page, one) if isinstance(one, str) else one for one in values])
        for cell, column in zip(page[page.max_row], sheet.columns, strict=True):
            if column.kind not in _NUMBERS:
                cell.number_format = _format(column)
            if row.get("id") in EXAMPLES:
                cell.fill = marked
    for number, column in enumerate(sheet.columns):
        dimensions = page.column_dimensions[letters(number)]
        dimensions.width = max(11, len(column.heading) + 3)
        if column.kind not in _NUMBERS:
            dimensions.number_format = _format(column)
        if column.offered:
            lists.offer(page, column, letters(number))
    page.freeze_panes = "B2"


def _format(column: Column) -> str:
    """Give the format of cells: text, so that no size or name is turned into a date or number, or a day."""
    return "yyyy-mm-dd" if column.kind == "day" else "@"


class _WordLists:
    """The allowed words of columns; a long list stands on a sheet of its own."""

    def __init__(self, book: Any) -> None:
        self._book = book
        self._long: dict[tuple[str, ...], str] = {}  # words -> the letter of their column

    def offer(self, page: Any, column: Column, at: str) -> None:
        from openpyxl.worksheet.datavalidation import DataValidation  # noqa: PLC0415

        joined = ",".join(column.offered)
        source = f'"{joined}"'
        if len(joined) > _LONGEST_LIST:
            place = self._long.setdefault(column.offered, letters(len(self._long)))
            source = f"words!${place}$2:${place}${len(column.offered) + 1}"
        rule = DataValidation(type="list", formula1=source, allow_blank=True)
        rule.errorTitle, rule.error = column.heading, "Write one of the words of the list."
        rule.showErrorMessage = column.kind != "words"  # several may be written
        page.add_data_validation(rule)
        rule.add(f"{at}2:{at}{_OFFERED_TO}")

    def write(self) -> None:
        page = self._book.create_sheet("words")
        page.sheet_state = "hidden"
        for words, at in self._long.items():
            for number, word in enumerate(["#", *words], start=1):
                page[f"{at}{number}"] = word


def _explain(page: Any) -> None:
    from openpyxl.styles import Alignment, Font  # noqa: PLC0415

    for row in (_CARTON_HEADS, *_carton()):
        page.append([text_cell(page, one) for one in row])
    for cell in page[1]:
        cell.font = Font(bold=True)
    for at, width in zip("ABCDE", (12, 26, 46, 46, 80), strict=True):
        page.column_dimensions[at].width = width
        for cell in page[at]:
            cell.alignment = Alignment(wrap_text=True, vertical="top")
    page.freeze_panes = "A2"
