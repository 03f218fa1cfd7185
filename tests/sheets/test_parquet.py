"""Questions from Parquet, as JSON text or in parts, and answers into it, row for row."""

from __future__ import annotations

from pathlib import Path

import orjson
import pyarrow as pa
import pyarrow.parquet as pq
import pytest
from click.testing import CliRunner, Result

from splicewright.cli.main import main


def batch(tmp_path: Path, table: pa.Table, *options: str) -> tuple[Result, list[dict[str, object]]]:
    pq.write_table(table, tmp_path / "in.parquet")
    out = tmp_path / "out.parquet"
    result = CliRunner().invoke(main, ["batch", str(tmp_path / "in.parquet"), "--output", str(out), *options])
    return result, pq.read_table(out).to_pylist() if out.exists() else []


JOINT = {"conductors": [{"size": "12 AWG", "count": 3, "role": None}]}


def test_each_row_of_json_text_gets_a_row(tmp_path: Path) -> None:
    texts = [
        orjson.dumps({"id": f"j{at}", "joint": {"conductors": [{"size": "12 AWG", "count": 2 + at % 3}]}}).decode()
        for at in range(5_000)
    ]
    texts[77] = "{"
    texts[78] = '{"id": "a\nb"}'
    result, rows = batch(tmp_path, pa.table({"question": texts}))
    assert result.exit_code == 1
    assert len(rows) == 5_000
    assert [row["id"] for row in rows[:3]] == ["j0", "j1", "j2"]
    assert [at for at, row in enumerate(rows) if row["errors"]] == [77, 78]
    assert rows[0]["outcome"] == "options"
    assert orjson.loads(str(rows[0]["answer"]))["options"][0]["connector"] == rows[0]["connector"]


def test_nested_parts_are_a_question_and_null_is_not_stated(tmp_path: Path) -> None:
    table = pa.table({"id": ["a", None], "joint": [JOINT, JOINT], "place": [None, {"exposure": "buried"}]})
    result, rows = batch(tmp_path, table)
    assert result.exit_code == 0
    assert [row["id"] for row in rows] == ["a", None]
    assert [row["errors"] for row in rows] == [None, None]
    assert rows[0]["method"] != rows[1]["method"]


def test_parts_may_be_json_text(tmp_path: Path) -> None:
    _, rows = batch(
        tmp_path, pa.table({"joint": [orjson.dumps(JOINT | {"conductors": [{"size": "12 AWG"}]}).decode()]})
    )
    assert rows[0]["outcome"] == "options"


def test_wrong_column_is_named_with_the_right_one(tmp_path: Path) -> None:
    result, rows = batch(tmp_path, pa.table({"joint": [JOINT], "plaec": [1]}))
    assert result.exit_code == 2
    assert "plaec" in result.stderr
    assert "place" in result.stderr
    assert rows == []


def test_file_that_is_no_parquet_is_told(tmp_path: Path) -> None:
    (tmp_path / "in.parquet").write_bytes(b"no")
    result = CliRunner().invoke(main, ["batch", str(tmp_path / "in.parquet")])
    assert result.exit_code == 2
    assert "is no Parquet file" in result.stderr


@pytest.mark.parametrize("ending", ["ndjson", "parquet"])
def test_lines_and_parquet_give_the_same_answers(tmp_path: Path, ending: str) -> None:
    pq.write_table(pa.table({"joint": [JOINT] * 3}), tmp_path / "in.parquet")
    (tmp_path / "in.ndjson").write_text('{"joint":{"conductors":[{"size":"12 AWG","count":3}]}}\n' * 3)
    result = CliRunner().invoke(main, ["batch", str(tmp_path / f"in.{ending}")])
    assert result.exit_code == 0
    lines = result.stdout_bytes.splitlines()
    assert len(set(lines)) == 1
    assert orjson.loads(lines[0])["options"][0]["rank"] == 1


def test_column_of_ids_goes_with_questions_in_json_text(tmp_path: Path) -> None:
    text = '{"joint":{"conductors":[{"size":"12 AWG","count":3}]}}'
    texts = [text, text, text[:1] + '"id":"own",' + text[1:], "{}", "[]", None]
    result, rows = batch(tmp_path, pa.table({"id": ["a", None, "c", "d", "e", "f"], "question": texts}))
    assert result.exit_code == 1
    assert [row["id"] for row in rows] == ["a", None, None, "d", None, None]
    assert [bool(row["errors"]) for row in rows] == [False, False, True, True, True, True]
    assert "stands twice" in str(rows[2]["errors"])


@pytest.mark.parametrize("column", ["question", "joint"])
def test_number_in_the_column_of_ids_is_taken_as_text(tmp_path: Path, column: str) -> None:
    joint = '{"conductors":[{"size":"12 AWG"}]}'
    asked = {"question": f'{{"joint":{joint}}}', "joint": joint}[column]
    _, rows = batch(tmp_path, pa.table({"id": [17], column: [asked]}))
    assert [(row["id"], row["outcome"]) for row in rows] == [("17", "options")]


def test_id_that_is_no_text_is_told_in_its_row(tmp_path: Path) -> None:
    text = '{"joint":{"conductors":[{"size":"12 AWG","count":3}]}}'
    ids = pa.array([b"\xff", b"b"], pa.binary())
    _, rows = batch(tmp_path, pa.table({"id": ids, "question": [text, text]}))
    assert [(row["id"], row["outcome"]) for row in rows] == [(None, "error"), ("b", "options")]


def test_check_has_its_verdict_in_its_row(tmp_path: Path) -> None:
    text = '{"joint":{"conductors":[{"size":"12 AWG","count":2}]},"proposal":{"connector":"lever-2-port"}}'
    _, rows = batch(tmp_path, pa.table({"question": [text]}))
    assert rows[0]["outcome"] == "unproven"
