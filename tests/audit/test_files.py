"""Which files are checked: all below a folder that may be ours, once, in one order."""

from __future__ import annotations

from pathlib import Path

import pytest

from splicewright.audit.files import find_files
from tests.audit.folder import write


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    return tmp_path


def names(*paths: str, exclude: tuple[str, ...] = ()) -> list[str]:
    return [file.name for file in find_files(paths, exclude)]


def test_folder_is_gone_through_sorted_with_hidden_ones_left_out(folder: Path) -> None:
    write(
        folder,
        dict.fromkeys(
            [
                "b/x.yaml",
                "a.yml",
                "b/a.json",
                "B.csv",
                ".git/c.yaml",
                ".hidden.yaml",
                "node_modules/p.json",
                "r.md",
                "~$j.xlsx",
                "j.XLSX",
                "l.ndjson",
                "README.txt",
                "s.py",
                "old.XLS",
                ".o.xls",
                "~$o.xlsm",
            ],
            "",
        ),
    )
    assert names(".") == ["B.csv", "README.txt", "a.yml", "b/a.json", "b/x.yaml", "j.XLSX", "l.ndjson", "old.XLS"]


def test_links_in_a_circle_end(folder: Path) -> None:
    write(folder, {"a/x.yaml": ""})
    (folder / "a" / "again").symlink_to(folder, target_is_directory=True)
    (folder / "a" / "self.yaml").symlink_to(folder / "a" / "self.yaml")
    assert names(".") == ["a/x.yaml"]


def test_file_is_given_once_however_often_it_is_named(folder: Path) -> None:
    write(folder, {"a/x.yaml": ""})
    (folder / "link.yaml").symlink_to(folder / "a" / "x.yaml")
    assert names("a", "a/x.yaml", ".", "./a/../a/x.yaml") == ["a/x.yaml"]


def test_file_that_was_named_stays_named_when_its_folder_is_too(folder: Path) -> None:
    write(folder, {"a/x.yaml": "", "a/y.yaml": ""})
    assert [(file.name, file.named) for file in find_files(["a", "a/y.yaml"])] == [
        ("a/x.yaml", False),
        ("a/y.yaml", True),
    ]


def test_named_file_may_be_hidden_or_of_any_kind(folder: Path) -> None:
    write(folder, {".x.yaml": "", "a.txt": ""})
    assert names(".x.yaml", "a.txt") == [".x.yaml", "a.txt"]


def test_excluded_names_are_left_out(folder: Path) -> None:
    write(folder, dict.fromkeys(["old/a.yaml", "old/deep/b.yaml", "c.yaml"], ""))
    assert names(".", exclude=("old/*",)) == ["c.yaml"]


@pytest.mark.usefixtures("folder")
def test_path_that_is_not_there_is_refused() -> None:
    with pytest.raises(FileNotFoundError, match=r"nothing\.yaml"):
        find_files(["nothing.yaml"])


def test_name_goes_from_the_working_folder_with_forward_slashes(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    write(folder, {"a/x.yaml": "", "b/y.yaml": ""})
    monkeypatch.chdir(folder / "a")
    assert names(str(folder / "b"), ".") == ["../b/y.yaml", "x.yaml"]


def test_name_that_is_no_text_can_still_be_written(folder: Path) -> None:
    (folder / b"\xff.yaml".decode("utf-8", "surrogateescape")).write_text("")
    assert names(".") == ["\\xff.yaml"]
