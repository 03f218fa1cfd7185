"""`--report html=FILE` of `choose`, `box` and `job`."""

from __future__ import annotations

from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from splicewright import shipped
from splicewright.cli.main import main

EXAMPLES = shipped.folder("openapi") / "examples"
JOB = "{joints: [{quantity: 2, joint: {conductors: [{size: 12 AWG, count: 2}]}}]}"


def run(*words: str, text: str = "") -> Result:
    return CliRunner().invoke(main, list(words), input=text)


@pytest.mark.parametrize(
    ("command", "name", "status", "heading"),
    [
        ("choose", "luminaire", 0, "<h1>ceiling-light-hot</h1>"),
        ("choose", "old-aluminum", 0, "<h1>"),
        ("box", "box", 0, "<h1>Box box-above-the-slip</h1>"),
        ("job", "job", 1, "<h1>Joints outside boxes</h1>"),
    ],
)
def test_sheet_is_written_beside_what_is_printed(
    tmp_path: Path, command: str, name: str, status: int, heading: str
) -> None:
    file = str(EXAMPLES / f"boathouse-{name}.yaml")
    alone, made = run(command, file), run(command, file, "--report", f"html={tmp_path / 'sheet.html'}")
    assert (made.exit_code, made.stdout) == (status, alone.stdout)
    assert heading in (tmp_path / "sheet.html").read_text(encoding="utf-8")


def test_question_in_a_line_has_a_sheet_too(tmp_path: Path) -> None:
    made = run("choose", "2 of 12 AWG solid; dry; 120 V", "--report", f"html={tmp_path / 'a.html'}")
    assert made.exit_code == 0, made.stderr
    assert "<h1>question</h1>" in (tmp_path / "a.html").read_text(encoding="utf-8")


def test_box_without_joints_has_a_sheet(tmp_path: Path) -> None:
    text = "wires: [{size: 12 AWG, count: 6}]\n"
    assert run("box", "-", "--report", f"html={tmp_path / 'a.html'}", text=text).exit_code == 0
    assert "the box is not stated" in (tmp_path / "a.html").read_text(encoding="utf-8")


def test_job_may_have_a_sheet_beside_its_tables(tmp_path: Path) -> None:
    reports = ["--report", f"csv={tmp_path / 'tables'}", "--report", f"html={tmp_path / 'a.html'}"]
    assert run("job", "-", *reports, text=JOB).exit_code == 0
    assert (tmp_path / "a.html").exists()
    assert (tmp_path / "tables" / "takeoff.csv").exists()


@pytest.mark.parametrize("command", ["choose", "box", "job"])
@pytest.mark.parametrize(
    ("options", "told"),
    [
        (["--report", "htm=a"], "did you mean 'html'?"),
        (["--report", "html="], "--report: says no place; write html=sheet.html"),
        (["--language", "en"], "--language is for --report html=FILE"),
        (["--with-prices"], "--with-prices is for --report html=FILE"),
    ],
)
def test_options_that_say_nothing_are_refused(command: str, options: list[str], told: str) -> None:
    made = run(command, "-", *options, text=JOB)
    assert made.exit_code == 2
    assert told in made.stderr


def test_file_that_is_read_is_not_written_over(tmp_path: Path) -> None:
    file = tmp_path / "job.yaml"
    file.write_text(JOB)
    made = run("job", str(file), "--report", f"html={file}")
    assert made.exit_code == 2
    assert file.read_text() == JOB


def test_place_that_is_none_is_told(tmp_path: Path) -> None:
    made = run("job", "-", "--report", f"html={tmp_path / 'none' / 'a.html'}", text=JOB)
    assert made.exit_code == 2
    assert "No such file or directory" in made.stderr


def test_job_that_no_sheet_holds_is_told_and_nothing_is_written(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("splicewright.reports.work_sheet_sources.MOST_JOINTS", 0)
    reports = ["--report", f"csv={tmp_path / 'tables'}", "--report", f"html={tmp_path / 'a.html'}"]
    made = run("job", "-", *reports, text=JOB)
    assert made.exit_code == 2
    assert "divide the job" in made.stderr
    assert list(tmp_path.iterdir()) == []
