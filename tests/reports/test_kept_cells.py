"""What a user's table has beside what is read is written again, by a check as by a job; what can't be is told."""

from __future__ import annotations

import csv
import datetime as dt
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import openpyxl
import pytest
from click.testing import CliRunner, Result

from splicewright.cli.main import main
from splicewright.sheets.columns import columns
from tests.sheets.tables import workbook

HEAD = ["# Drawing", "id", "size", "count", "# Ordered", "# Day", "depth", "# Drawing", "Floor", "# Done"]
ROWS: list[list[Any]] = [
    ["E-1", "a", "12 AWG", 2, 7, dt.datetime.fromisoformat("2026-05-04"), "24 in", "x", 2, True],
    ["E-1", "a", "14 AWG", 1, 3.5, None, None, None, None, None],
    ["-5", "b", "12 AWG", 3, None, None, None, "y", "up", False],
    [None, "c", "10 AWG", 2, "7 ft", None, None, None, None, None],
]
MAPPED = ["--columns", "Floor=#"]


@pytest.fixture(autouse=True)
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)


def run(*words: str) -> Result:
    return CliRunner().invoke(main, list(words))


def rows_of(file: str) -> list[list[Any]]:
    if file.endswith(".csv"):
        with Path(file).open(newline="", encoding="utf-8") as stream:
            return [[one or None for one in row] for row in csv.reader(stream)]
    return [list(row) for row in openpyxl.load_workbook(file).worksheets[0].iter_rows(values_only=True)]


def by_heading(rows: list[list[Any]]) -> list[list[tuple[str, Any]]]:
    """Give each row as its headings with their cells, what was answered and the order of columns left out."""
    head, *others = rows
    return [
        sorted(
            (
                (str(name).removeprefix("# "), one)
                for name, one in zip(head, row, strict=True)
                if not str(name).startswith("answer")
            ),
            key=lambda pair: (pair[0], str(pair[1])),
        )
        for row in others
    ]


def asked(head: Sequence[str], rows: Sequence[Sequence[Any]]) -> list[list[tuple[str, Any]]]:
    return by_heading([list(head), *(list(row) for row in rows)])


def test_workbook_keeps_every_column_and_value_by_a_check_as_by_a_job() -> None:
    Path("a.xlsx").write_bytes(workbook(HEAD, *ROWS))
    assert run("check", "a.xlsx", *MAPPED, "--report", "xlsx=check.xlsx").exit_code == 0
    assert run("job", "a.xlsx", *MAPPED, "--report", "xlsx=job.xlsx").exit_code == 0
    assert by_heading(rows_of("check.xlsx")) == by_heading(rows_of("job.xlsx")) == asked(HEAD, ROWS)


def test_text_file_keeps_every_column_by_a_check_as_by_a_job() -> None:
    with Path("a.csv").open("w", newline="") as stream:
        csv.writer(stream).writerows([HEAD, *ROWS])
    assert run("check", "a.csv", *MAPPED, "--report", "csv=check.csv", "--report", "xlsx=check.xlsx").exit_code == 0
    assert run("job", "a.csv", *MAPPED, "--report", "csv=out", "--report", "xlsx=job.xlsx").exit_code == 0
    assert by_heading(rows_of("check.csv")) == by_heading(rows_of("out/joints.csv"))
    assert by_heading(rows_of("check.xlsx")) == by_heading(rows_of("job.xlsx"))
    (count,) = (at for at, one in enumerate(rows_of("check.xlsx")[0]) if one == "count")
    assert [row[count] for row in rows_of("check.xlsx")[1:]] == [2, 1, 3, 2]


def test_table_is_checked_again_without_the_headings_that_were_passed_over() -> None:
    Path("a.xlsx").write_bytes(workbook(HEAD, *ROWS))
    run("check", "a.xlsx", *MAPPED, "--report", "xlsx=first.xlsx")
    assert run("check", "first.xlsx", "--report", "xlsx=again.xlsx").exit_code == 0
    assert by_heading(rows_of("again.xlsx")) == by_heading(rows_of("first.xlsx"))


@pytest.mark.parametrize("head", [["id", "size", "count", "expossure"], ["id", "size", "count", "count"]])
def test_column_that_is_refused_stays_in_the_table_so_that_it_is_refused_again(head: list[str]) -> None:
    Path("a.xlsx").write_bytes(workbook(head, ["a", "12 AWG", 2, "wet"]))
    assert run("check", "a.xlsx", "--report", "csv=first.csv").exit_code == 1
    assert rows_of("first.csv")[-1][:4] == ["a", "12 AWG", "2", "wet"]
    assert run("check", "first.csv", "--report", "csv=again.csv").exit_code == 1


def test_files_with_columns_of_their_own_stand_in_one_table() -> None:
    Path("a.csv").write_text("id,size,# Room\na,12 AWG,hall\n")
    Path("b.csv").write_text("# Floor,id,size,# Room\n2,b,12 AWG,attic\n")
    Path("c.yaml").write_text("{id: c, joint: {conductors: [{size: 12 AWG, count: 2}]}, circuit: {volts: 120.0}}\n")
    run("check", "a.csv", "b.csv", "c.yaml", "--report", "xlsx=out.xlsx")
    head, *rows = rows_of("out.xlsx")
    told = [{name: one for name, one in zip(head, row, strict=True) if not name.startswith("answer")} for row in rows]
    assert [(one["id"], one["# Room"], one["# Floor"]) for one in told] == [
        ("a", "hall", None), ("b", "attic", "2"), ("c", None, None)
    ]  # fmt: skip
    assert (told[2]["count"], told[2]["volts"]) == (2, 120)


@pytest.mark.parametrize(
    ("command", "report"), [("check", "xlsx=out.xlsx"), ("check", "csv=out.csv"), ("job", "csv=out")]
)
def test_formula_of_ones_own_column_that_was_never_calculated_is_told(command: str, report: str) -> None:
    Path("a.xlsx").write_bytes(
        workbook(["id", "size", "count", "# Sum", "# Note"], *([name, "12 AWG", 2, "=1+1", "n"] for name in "abc"))
    )
    result = run(command, "a.xlsx", "--report", report)
    assert result.stderr.count("left empty in the report") == 1
    says = "a.xlsx:Joints!D2: # Sum: left empty in the report, with 2 further cells below it: holds a formula that was"
    assert says in result.stderr
    assert "left empty" not in run(command, "a.xlsx").stderr


@pytest.mark.parametrize("column", [one for one in columns() if one.kind == "number"], ids=lambda one: one.name)
def test_number_of_every_column_is_a_number_in_the_workbook(column: Any) -> None:
    Path("a.csv").write_text(f"id,size,{column.name}\na,12 AWG,3\n")
    run("check", "a.csv", "--report", "xlsx=out.xlsx")
    head, row = rows_of("out.xlsx")
    assert row[head.index(column.name)] == 3
