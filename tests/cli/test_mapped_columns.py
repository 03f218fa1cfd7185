"""`--columns`: headings of one's own are read as the columns that they are."""

from __future__ import annotations

from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from splicewright.cli.main import main

OWN = "Tag;Wire;Qty;Note\na;12 AWG;3;x\n"


def check(folder: Path, columns: str) -> Result:
    (folder / "own.csv").write_text(OWN)
    return CliRunner().invoke(main, ["check", str(folder), "--columns", columns, "--level", "error"])


def test_table_with_headings_of_ones_own_is_checked(tmp_path: Path) -> None:
    checked = check(tmp_path, "Tag=id,wire=size,Qty=count,Note=#")
    assert (checked.exit_code, "1 file, 1 entry: 0 errors" in checked.stdout) == (0, True)


def test_project_may_say_it_and_the_command_is_stronger(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "splicewright.toml").write_text('columns = {Tag = "id", Wire = "size", Qty = "quantity", Note = "#"}')
    monkeypatch.chdir(tmp_path)
    assert "1 entry: 0 errors" in check(Path(), "").stdout
    assert "1 entry: 0 errors" in check(Path(), "Qty=count").stdout


@pytest.mark.parametrize(
    ("columns", "says"),
    [
        ("Wire=siz", "there is no column \"siz\"; did you mean 'size'?"),
        ("Wire=zzzzz", "`splicewright template` writes them all"),
        ("Wire", "names no column; write it like 'Wire=size'"),
    ],
)
def test_mapping_that_leads_nowhere_is_told(tmp_path: Path, columns: str, says: str) -> None:
    refused = check(tmp_path, columns)
    assert (refused.exit_code, says in refused.stderr) == (2, True)
