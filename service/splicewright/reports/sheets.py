"""A table of answers: the rows of every joint as they were asked, and beside them what was decided and why.

It has the columns that were asked with, so that it can be changed and checked again; those that begin with `answer` are
passed over when it is read.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator, Mapping
from typing import Any

from splicewright.audit.evaluation import ReportCase
from splicewright.audit.run import Audited
from splicewright.json_pointer import value_at
from splicewright.reports.findings_text import place
from splicewright.reports.words import value_text
from splicewright.sheets.columns import Column, columns
from splicewright.sheets.spreadsheet_escaping import csv_text, saved, scratch_needed, text_cell
from splicewright.sheets.table import Grid

ANSWERS = (
    "answer", "answer connector", "answer method", "answer fill", "answer others", "answer reasons", "answer place",
)  # fmt: skip
_OTHERS = 5  # further connectors named


def is_table_of_answers(grid: Grid) -> bool:
    """Tell whether a table is one that is written here."""
    return tuple(map(str, grid.head.values[-len(ANSWERS) :])) == ANSWERS


def answers_csv(audited: Audited) -> str:
    """Write the table as CSV."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    for row in _table(audited):
        writer.writerow([csv_text(cell) for cell in row])
    return out.getvalue()


@scratch_needed()
def answers_xlsx(audited: Audited) -> bytes:
    """Write the table as a workbook, every cell as text."""
    import openpyxl  # noqa: PLC0415 - only where a workbook is written

    book = openpyxl.Workbook(write_only=True)
    sheet = book.create_sheet("Answers")
    sheet.freeze_panes = "B2"
    for row in _table(audited):
        sheet.append([text_cell(sheet, cell) if cell else None for cell in row])
    return saved(book)


def _table(audited: Audited) -> Iterator[list[str]]:
    rows = [(case, row) for case in audited.cases for row in _asked(case)]
    used = [column for column in columns() if any(column.pointer in asked for _, asked in rows)]
    yield [*(column.name for column in used), *ANSWERS]
    told: ReportCase | None = None
    for case, asked in rows:
        beside = [""] * len(ANSWERS) if case is told else _answered(case)
        told = case
        yield [*(asked.get(column.pointer, "") for column in used), *beside]


def _asked(case: ReportCase) -> Iterator[Mapping[str, str]]:
    """Give what a case asks, a row for each entry of its conductors: text by the column's pointer."""
    if case.sheet_joint is not None:
        joint = case.sheet_joint
        yield from (joint.texts(row) for row in joint.rows)
        return
    asked = case.asked if isinstance(case.asked, Mapping) else {}
    conductors = value_at(asked, "/joint/conductors")
    rows = [one for one in conductors if isinstance(one, Mapping)] if isinstance(conductors, list) else []
    for number, conductor in enumerate(rows or [{}]):
        yield {
            column.pointer: _text(value)
            for column in columns()
            if (value := _value(column, asked, conductor, first=number == 0)) is not None
        } or {"/id": case.name}


def _value(column: Column, asked: Mapping[str, Any], conductor: Mapping[str, Any], *, first: bool) -> Any:
    if column.of_conductor:
        return conductor.get(column.keys[-1])
    return value_at(asked, column.pointer) if first or column.pointer == "/id" else None


def _text(value: Any) -> str:
    return ", ".join(map(str, value)) if isinstance(value, list) else value_text(value)


def _answered(case: ReportCase) -> list[str]:
    verdict = case.verdict
    outcome = verdict.outcome if verdict else "not valid"
    connector, method, fill = verdict.options[0] if verdict and verdict.options else ("", "", "")
    others = [name for name, _, _ in verdict.options[1 : _OTHERS + 1]] if verdict else []
    reasons = [
        f"{finding.level}: {finding.says}{f' (waived: {finding.reason})' if finding.reason else ''}"
        for finding in case.findings
    ]
    where = place(case.findings[0]) if case.findings else f"{case.file}:{case.spot.line}"
    return [outcome, connector, method, fill, ", ".join(others), "\n".join(reasons), where]
