"""What nothing reads in a folder of rulesets is told, since what stands in it would hold nowhere."""

from __future__ import annotations

from pathlib import Path

import pytest

from splicewright import shipped
from splicewright.codes import codes
from splicewright.operate.unread_files import unread_files
from tests.api.small import small_rulesets


def told(folder: Path) -> list[str]:
    return [str(fault) for fault in unread_files(folder, codes())]


def test_all_that_is_shipped_is_read() -> None:
    assert told(shipped.folder("rulesets")) == []


@pytest.mark.parametrize(
    ("name", "says"),
    [
        ("practice/house.yml", "practice/house.yml: nothing reads this file; call it house.yaml"),
        ("practice/more/house.yaml", "practice/more: nothing reads this folder; put its files into practice/"),
        (
            "practise/house.yaml",
            "practise: nothing reads this folder: \"practise\" is not known; did you mean 'practice'?",
        ),
        ("flor.yaml", "flor.yaml: nothing reads this file: \"flor.yaml\" is not known; did you mean 'floor.yaml'?"),
    ],
)
def test_what_nothing_reads_is_told_with_where_it_belongs(tmp_path: Path, name: str, says: str) -> None:
    folder = small_rulesets(tmp_path / "rulesets")
    (folder / name).parent.mkdir(parents=True, exist_ok=True)
    (folder / name).write_text("a: 1\n")
    assert told(folder) == [says]


def test_pages_beside_and_hidden_files_are_nobodys_business(tmp_path: Path) -> None:
    folder = small_rulesets(tmp_path / "rulesets")
    for name in (".keep", "CHANGES.md", "catalogues/README.md", "catalogues/.x"):
        (folder / name).write_text("")
    assert told(folder) == []
