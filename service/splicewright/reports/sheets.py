"""A table of answers: the rows of every joint as they were asked, and beside them what was decided and why.

It has the columns that were asked with, and the user's own, so that it can be changed and checked again; those that
begin with `answer` are passed over when it is read.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping
from typing import Any

from splicewright.audit.evaluation import ReportCase
from splicewright.audit.run import Audited
from splicewright.json_pointer import value_at
from splicewright.reports.findings_text import place
from splicewright.reports.job_tables import Table
from splicewright.reports.kept_cells import kept_cell, lost_cells
from splicewright.reports.table_files import tables_csv, tables_xlsx
from splicewright.reports.words import value_text
from splicewright.sheets.columns import Column, columns
from splicewright.sheets.joints import SheetJoint
from splicewright.sheets.table import Grid, Row

ANSWERS = (
    "answer", "answer connector", "answer method", "answer fill", "answer others", "answer reasons", "answer place",
)  # fmt: skip
#: What a column is known by: the pointer of a question's part, or a heading of the user's own and which of that name.
_Key = str | tuple[str, int]
_OTHERS = 5  # further connectors named


def is_table_of_answers(grid: Grid) -> bool:
    """Tell whether a table is one that is written here."""
    return tuple(map(str, grid.head.values[-len(ANSWERS) :])) == ANSWERS


def answers_csv(audited: Audited) -> str:
    """Write the table as CSV."""
    (data,) = tables_csv([_table(audited)]).values()
    return data.decode()


def answers_xlsx(audited: Audited) -> bytes:
    """Write the table as a workbook."""
    return tables_xlsx([_table(audited)], frozen="B2")


def cells_left_empty(audited: Audited) -> Iterator[str]:
    """Word what the tables have in columns of the user's own and can't be written again, with its cell."""
    tables: dict[int, tuple[str, SheetJoint]] = {}
    for case in audited.cases:
        if case.sheet_joint is not None:
            tables.setdefault(id(case.sheet_joint.grid), (case.file, case.sheet_joint))
    for file, joint in tables.values():
        yield from (f"{file}:{says}" for says in lost_cells(joint.grid, joint.columns.values()))


def _table(audited: Audited) -> Table:
    rows = [(case, row) for case in audited.cases for row in _asked(case)]
    given = {key for _, asked in rows for key in asked}
    used = [column.pointer for column in columns() if column.pointer in given]
    own = list(dict.fromkeys(key for _, asked in rows for key in asked if isinstance(key, tuple)))
    keys: list[_Key] = [*used, *own]
    names = {column.pointer: column.name for column in columns()}
    found: list[list[Any]] = []
    told: ReportCase | None = None
    for case, asked in rows:
        beside = [""] * len(ANSWERS) if case is told else _answered(case)
        told = case
        found.append([*(asked.get(key) for key in keys), *(one or None for one in beside)])
    return Table("Answers", [*(names[key] for key in used), *(heading for heading, _ in own), *ANSWERS], found)


def _asked(case: ReportCase) -> Iterator[Mapping[_Key, Any]]:
    """Give what a case asks, a row for each entry of its conductors: values by the keys of their columns."""
    if case.sheet_joint is not None:
        yield from (_kept(case.sheet_joint, row) for row in case.sheet_joint.rows)
        return
    asked = case.asked if isinstance(case.asked, Mapping) else {}
    conductors = value_at(asked, "/joint/conductors")
    rows = [one for one in conductors if isinstance(one, Mapping)] if isinstance(conductors, list) else []
    for number, conductor in enumerate(rows or [{}]):
        found: dict[_Key, Any] = {
            column.pointer: _plain(value)
            for column in columns()
            if (value := _value(column, asked, conductor, first=number == 0)) is not None
        }
        yield found or {"/id": case.name}


def _kept(joint: SheetJoint, row: Row) -> Mapping[_Key, Any]:
    """Give the cells of a row that hold anything; those of no column of a table of joints, and empty ones, too.

    Of several columns with one heading each has its own place.
    """
    found: dict[_Key, Any] = {}
    by_pointer = {column.pointer: column for column in columns()}
    for pointer, at in joint.columns.items():
        if (value := kept_cell(joint.grid, row, at, by_pointer[pointer])) is not None:
            found[pointer] = value
    seen: Counter[str] = Counter()
    for at, heading in joint.others.items():
        found[heading, seen[heading]] = kept_cell(joint.grid, row, at)
        seen[heading] += 1
    return found


def _value(column: Column, asked: Mapping[str, Any], conductor: Mapping[str, Any], *, first: bool) -> Any:
    if column.of_conductor:
        return conductor.get(column.keys[-1])
    return value_at(asked, column.pointer) if first or column.pointer == "/id" else None


def _plain(value: Any) -> Any:
    """Give a value as a cell has it: a number as such, all else as text."""
    if isinstance(value, int | float) and not isinstance(value, bool):
        return int(value) if isinstance(value, float) and value.is_integer() else value
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
