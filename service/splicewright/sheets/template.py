"""A table of joints to fill in: every column, an invented example, and in a workbook the allowed words."""

from __future__ import annotations

import csv
import io
from collections.abc import Callable, Iterator, Mapping
from typing import Any

from splicewright.sheets.columns import Column, columns
from splicewright.sheets.spreadsheet_escaping import saved, scratch_needed, text_cell
from splicewright.sheets.table import letters

#: From our own scenario, the refit of a boathouse: a joint of two rows, and one with a proposal.
EXAMPLE: tuple[Mapping[str, str], ...] = (
    {
        "id": "ceiling-light-hot", "quantity": "6", "size": "12 AWG", "count": "2", "construction": "solid",
        "insulation": "THHN", "premises": "marina", "exposure": "damp", "enclosure": "luminaire",
        "room": "yes", "current carrying": "3", "kind": "luminaire",
        "serves": "lighting", "volts": "120 V", "amps": "4 A", "overcurrent amps": "20 A", "continuous": "no",
    },
    {
        "id": "ceiling-light-hot", "size": "18 AWG", "count": "1", "construction": "fine-stranded",
        "insulation": "TFFN",
    },
    {
        "id": "slip-receptacle-neutral", "quantity": "4", "size": "12 AWG", "count": "3", "insulation": "THWN-2",
        "role": "grounded", "premises": "marina", "exposure": "damp", "room": "yes", "current carrying": "3",
        "serves": "general", "volts": "120 V",
        "amps": "12 A", "overcurrent amps": "20 A", "continuous": "no", "gfci": "yes",
    },
)  # fmt: skip
_OFFERED_TO = 2_000  # rows
_LONGEST_LIST = 250  # characters that a list of words in a rule of a workbook may have
_YES_NO = ("yes", "no")


def csv_template() -> bytes:
    """Give the template as CSV."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow([column.name for column in columns()])
    writer.writerows([row.get(column.name, "") for column in columns()] for row in EXAMPLE)
    return out.getvalue().encode()


@scratch_needed()
def xlsx_template() -> bytes:
    """Give the template as a workbook: the sheet to fill in, and one that tells what each column means."""
    import openpyxl  # noqa: PLC0415 - only where a workbook is written
    from openpyxl.styles import Font  # noqa: PLC0415

    book = openpyxl.Workbook()
    sheet: Any = book.active
    sheet.title = "Joints"
    sheet.append([column.name for column in columns()])
    for row in EXAMPLE:
        sheet.append([row.get(column.name) for column in columns()])
    for cell in sheet[1]:
        cell.font = Font(bold=True)
    for number, column in enumerate(columns()):
        at = letters(number)
        sheet.column_dimensions[at].width = max(10, len(column.name) + 2)
        # Text, so that no size or id is turned into a date or number.
        sheet.column_dimensions[at].number_format = "@"
        for number_of_row in range(1, len(EXAMPLE) + 2):
            sheet[f"{at}{number_of_row}"].number_format = "@"
    sheet.freeze_panes = "B2"
    _explain(book)
    _offer(sheet, book)
    return saved(book)


def _explain(book: Any) -> None:
    from openpyxl.styles import Alignment, Font  # noqa: PLC0415

    told = book.create_sheet("Columns")
    told.append(["heading", "stands in each row", "written as", "means", "words"])
    for cell in told[1]:
        cell.font = Font(bold=True)
    for column in columns():
        told.append([text_cell(told, part) for part in _explained(column)])
    for at, width in zip("ABCDE", (18, 18, 24, 60, 90), strict=True):
        told.column_dimensions[at].width = width
        for cell in told[at]:
            cell.alignment = Alignment(wrap_text=True, vertical="top")


_WRITTEN: Mapping[str, str] = {
    "text": "text", "texts": "text; several parted by commas", "tags": "words parted by commas",
    "size": "12 AWG, 250 kcmil, 2.5 mm2",
    "word": "a word", "words": "words parted by commas", "number": "a number", "flag": "yes or no",
    "quantity": "a number and its unit", "flag-or-quantity": "yes, no, or a number and its unit", "day": "2026-12-31",
}  # fmt: skip


def _explained(column: Column) -> tuple[str, ...]:
    each = "each conductor's own" if column.of_conductor else "once, or alike"
    return column.name, each, _WRITTEN[column.kind], column.about, ", ".join(column.words)


def _offer(sheet: Any, book: Any) -> None:
    """Offer the allowed words in each cell; a long list stands on a sheet of its own."""
    from openpyxl.worksheet.datavalidation import DataValidation  # noqa: PLC0415

    lists = book.create_sheet("Words")
    for number, (at, words) in enumerate(_choices()):
        joined = ",".join(words)
        for row, word in enumerate([f"# {columns()[at].name}", *words], start=1):
            lists[f"{letters(number)}{row}"] = word
        place = f"Words!${letters(number)}$2:${letters(number)}${len(words) + 1}"
        source = f'"{joined}"' if len(joined) <= _LONGEST_LIST else place
        rule = DataValidation(type="list", formula1=source, allow_blank=True)
        rule.errorTitle, rule.error = columns()[at].name, "Write one of the words of the list."
        rule.showErrorMessage = columns()[at].kind != "words"  # several may be written
        sheet.add_data_validation(rule)
        rule.add(f"{letters(at)}2:{letters(at)}{_OFFERED_TO}")
    lists.sheet_state = "hidden"


def _choices() -> Iterator[tuple[int, tuple[str, ...]]]:
    for at, column in enumerate(columns()):
        if column.kind in ("word", "words"):
            yield at, column.words
        elif column.kind == "flag":
            yield at, _YES_NO


#: By the ending of the file's name.
WRITERS: Mapping[str, Callable[[], bytes]] = {".csv": csv_template, ".xlsx": xlsx_template}
