"""Answers as a table: the rows as asked, what was decided beside them, and nothing that a spreadsheet would run."""

from __future__ import annotations

import csv
import io
from pathlib import Path

import openpyxl
import pytest

from splicewright.answering import choose
from splicewright.audit.run import Audited
from splicewright.question.read import read_question
from splicewright.reports.sheets import answers_csv, answers_xlsx
from tests.audit.folder import FINE, audited, placed, told, write
from tests.reports.found import HEAD, ROWS, everything
from tests.sheets.tables import workbook


@pytest.fixture(scope="module")
def found(tmp_path_factory: pytest.TempPathFactory) -> Audited:
    return everything(tmp_path_factory.mktemp("work"), keep_asked=True)


def rows_of(found: Audited) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(answers_csv(found))))


def row_of(found: Audited, name: str, number: int = 0) -> dict[str, str]:
    return [row for row in rows_of(found) if row["id"] == name][number]


def test_rows_of_a_table_stand_as_they_were_asked(tmp_path: Path) -> None:
    write(tmp_path, {"a.xlsx": workbook(HEAD, *ROWS)})
    rows = rows_of(audited(tmp_path, keep_asked=True))
    assert [[row[name] for name in HEAD] for row in rows] == [
        ["" if value is None else str(value) for value in row] for row in ROWS
    ]


def test_answer_stands_beside_the_first_row_of_a_joint(found: Audited) -> None:
    first, second = row_of(found, "k1"), row_of(found, "k1", 1)
    question = {
        "joint": {
            "conductors": [
                {"size": "12 AWG", "count": 2, "insulation": "THHN"},
                {"size": "14 AWG", "insulation": "THHN"},
            ]
        },
        "circuit": {"volts": 120, "amps": 8, "overcurrent_amps": 15},
    }
    best = choose(question)["options"][0]
    assert (first["answer"], first["answer connector"], first["answer method"], first["answer fill"]) == (
        "options", best["connector"], best["method"], best["fill"]["basis"],
    )  # fmt: skip
    assert {value for key, value in second.items() if key.startswith("answer")} == {""}


def test_reasons_are_told_with_what_was_waived(found: Audited) -> None:
    assert row_of(found, "barred")["answer"] == "barred"
    assert row_of(found, "barred")["answer reasons"].startswith("error: A joint inside a raceway")
    assert row_of(found, "waived")["answer reasons"].endswith("(waived: old run)")
    assert row_of(found, "k2")["answer"] == "not valid"
    assert row_of(found, "k2")["answer place"] == "sheets/slip.xlsx:Joints!E4"


def test_id_that_begins_like_a_formula_is_text(found: Audited) -> None:
    assert row_of(found, "'=known")["answer"] == "barred"
    sheet = openpyxl.load_workbook(io.BytesIO(answers_xlsx(found)))["Answers"]
    (cell,) = [cell for (cell,) in sheet.iter_rows(max_col=1) if cell.value == "=known"]
    assert cell.data_type == "s"


def test_workbook_has_the_rows_of_the_csv_and_is_the_same_bytes_each_time(found: Audited) -> None:
    sheet = openpyxl.load_workbook(io.BytesIO(answers_xlsx(found)))["Answers"]
    written = [["" if value is None else str(value) for value in row] for row in sheet.iter_rows(values_only=True)]
    table = list(csv.reader(io.StringIO(answers_csv(found))))
    assert written == [[cell.removeprefix("'") for cell in row] for row in table]
    assert answers_xlsx(found) == answers_xlsx(found)


@pytest.mark.parametrize("kind", ["csv", "xlsx"])
def test_table_of_answers_can_be_checked_again(tmp_path: Path, kind: str) -> None:
    place = "depth: {value: 24, unit: in}, corrosion: [salt-air, chemical], hazardous: false"
    write(tmp_path, {"a.yaml": f"---\nid: '=a'\n{FINE}---\nid: b\n{placed(place)}"})
    found = audited(tmp_path, keep_asked=True)
    again = answers_csv(found).encode() if kind == "csv" else answers_xlsx(found)
    write(tmp_path, {f"again/a.{kind}": again})
    repeated = audited(tmp_path, "again", keep_asked=True)
    assert told(repeated) == []
    assert [read_question(case.asked) for case in repeated.cases] == [read_question(case.asked) for case in found.cases]


def test_answers_to_a_job_follow_its_stock_plan(tmp_path: Path) -> None:
    asked = "{id: %s, joint: {conductors: [{size: %s, count: %d}]}}"
    joints = ", ".join([asked % ("a", "12 AWG", 3), asked % ("b", "10 AWG", 2)])
    write(tmp_path, {"a.yaml": f"joints: [{joints}]\nstock: {{}}\n", "b.yaml": f"joints: [{joints}]\n"})
    found = {case.file + case.name: case for case in audited(tmp_path, keep_asked=True).cases if case.verdict}
    best = {one.verdict.options[0][0] for name, one in found.items() if name[0] == "b" and one.verdict}
    planned = {one.verdict.options[0][0] for name, one in found.items() if name[0] == "a" and one.verdict}
    assert (len(best), len(planned)) == (2, 1)
