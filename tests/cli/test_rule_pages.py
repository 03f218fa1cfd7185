"""`rules pages`: files that lead to one another."""

from __future__ import annotations

import re
from pathlib import Path

from click.testing import CliRunner

from splicewright.cli.main import main


def test_it_writes_pages_that_lead_to_one_another(tmp_path: Path) -> None:
    folder = tmp_path / "some" / "pages"
    ended = CliRunner().invoke(main, ["rules", "pages", str(folder), "--amend", "house-rules"])
    assert (ended.exit_code, ended.stderr) == (0, "")
    names = {path.name for path in folder.iterdir()}
    assert {"index.html", "environment.html", "house-rules.html"} <= names
    linked = {one for path in folder.iterdir() for one in re.findall(r'href="([^"#]+)', path.read_text())}
    assert linked == names


def test_what_it_can_not_write_is_told(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("")
    ended = CliRunner().invoke(main, ["rules", "pages", str(tmp_path / "file" / "pages")])
    assert (ended.exit_code, "Not a directory" in ended.stderr) == (2, True)
    ended = CliRunner().invoke(main, ["rules", "pages", str(tmp_path), "--code", "nfpa70-2022"])
    assert (ended.exit_code, "nfpa70-2023" in ended.stderr) == (2, True)
