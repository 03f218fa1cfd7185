"""Tables as a workbook with a sheet each, or as CSV with a file each: numbers as numbers, text never as a formula."""

from __future__ import annotations

import csv
import datetime as dt
import io
import re
from collections.abc import Iterator, Sequence
from typing import Any

from splicewright.reports.job_tables import Table
from splicewright.sheets.spreadsheet_escaping import csv_text, saved, scratch_needed, text_cell

_WIDEST, _LONGEST_NAME = 60, 31
_NOT_IN_A_NAME = re.compile(r"[\[\]:*?/\\]")


@scratch_needed()
def tables_xlsx(tables: Sequence[Table], *, frozen: str = "A2") -> bytes:
    """Write a workbook; what stands above and before the cell `frozen` stays in sight."""
    import openpyxl  # noqa: PLC0415 - only where a workbook is written
    from openpyxl.utils import get_column_letter  # noqa: PLC0415

    book = openpyxl.Workbook(write_only=True)
    for name, table in zip(_names(tables), tables, strict=True):
        sheet = book.create_sheet(name)
        sheet.freeze_panes = frozen
        for at, heading in enumerate(table.head, start=1):
            longest = max((len(str(row[at - 1] or "")) for row in table.rows[:200]), default=0)
            sheet.column_dimensions[get_column_letter(at)].width = min(max(len(heading), longest) + 2, _WIDEST)
        sheet.append([text_cell(sheet, heading) for heading in table.head])
        for row in table.rows:
            sheet.append([text_cell(sheet, cell) if isinstance(cell, str) else _plain(cell) for cell in row])
    return saved(book)


def tables_csv(tables: Sequence[Table]) -> dict[str, bytes]:
    """Write a CSV file for each table, by the file's name."""
    found = {}
    for name, table in zip(_names(tables), tables, strict=True):
        out = io.StringIO()
        writer = csv.writer(out, lineterminator="\r\n")
        for row in (table.head, *table.rows):
            writer.writerow([csv_text(cell) if isinstance(cell, str) else _text(cell) for cell in row])
        found[f"{name.lower().replace(' ', '-')}.csv"] = out.getvalue().encode("utf-8", "backslashreplace")
    return found


def _plain(cell: Any) -> Any:
    return cell.replace(tzinfo=None) if isinstance(cell, dt.datetime | dt.time) else cell


def _text(cell: Any) -> Any:
    return {True: "yes", False: "no"}[cell] if isinstance(cell, bool) else cell


def _names(tables: Sequence[Table]) -> Iterator[str]:
    """Give each table a name that a sheet and a file may have, no two alike."""
    seen: set[str] = set()
    for table in tables:
        name = plain = _NOT_IN_A_NAME.sub("-", table.name).strip(" '.")[:_LONGEST_NAME] or "Joints"
        number = 1
        while name.casefold() in seen:
            number += 1
            name = f"{plain[: _LONGEST_NAME - 5]} {number}"
        seen.add(name.casefold())
        yield name
