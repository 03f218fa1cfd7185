"""`splicewright template`: a table to fill in, which is checked as it stands."""

from __future__ import annotations

from pathlib import Path

import pytest
from click.testing import CliRunner

from splicewright.cli.main import main


@pytest.mark.parametrize("name", ["joints.csv", "joints.XLSX"])
def test_template_is_written_and_passes_its_own_check(tmp_path: Path, name: str) -> None:
    path = str(tmp_path / name)
    assert CliRunner().invoke(main, ["template", path]).exit_code == 0
    result = CliRunner().invoke(main, ["check", path, "--fail-on", "note"])
    assert (result.exit_code, result.stdout) == (0, "1 file, 2 entries: 0 errors, 0 warnings, 0 notes\n")


def test_file_that_is_there_is_written_over_only_if_asked_to(tmp_path: Path) -> None:
    path = tmp_path / "joints.csv"
    path.write_text("mine")
    result = CliRunner().invoke(main, ["template", str(path)])
    assert (result.exit_code, path.read_text()) == (2, "mine")
    assert "--force writes over it" in result.stderr
    assert CliRunner().invoke(main, ["template", "--force", str(path)]).exit_code == 0
    assert path.read_text().startswith("id,quantity,box,size")


def test_other_kinds_of_file_are_refused(tmp_path: Path) -> None:
    result = CliRunner().invoke(main, ["template", str(tmp_path / "joints.ods")])
    assert result.exit_code == 2
    assert "a table is a .csv or an .xlsx file" in result.stderr


def test_folder_that_is_not_there_is_told(tmp_path: Path) -> None:
    result = CliRunner().invoke(main, ["template", str(tmp_path / "no" / "joints.csv")])
    assert result.exit_code == 2
    assert "No such file or directory" in result.stderr
