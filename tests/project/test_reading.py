"""A project file: what it may say, and what is told where it is wrong."""

from __future__ import annotations

import pickle
from pathlib import Path

import pytest

from splicewright.faults import Faults
from splicewright.project.finding import FILE, find_project, project_here
from splicewright.project.reading import read_project
from splicewright.rulebook.amendment_files import AmendmentText


def written(folder: Path, text: str) -> Path:
    file = folder / FILE
    file.write_text(text, encoding="utf-8")
    return file


def told(file: Path) -> list[str]:
    with pytest.raises(Faults) as raised:
        read_project(file)
    return [str(one).removeprefix(f"{file}:") for one in raised.value.faults]


def test_what_it_says_is_read_and_paths_start_from_its_folder(tmp_path: Path) -> None:
    (tmp_path / "shelf").mkdir()
    (tmp_path / "shelf" / "ours.yaml").write_bytes(b"catalogue: ours")
    (tmp_path / "shelf" / "notes.txt").write_bytes(b"no catalogue")
    (tmp_path / "rules").mkdir()
    (tmp_path / "rules" / "salt.yaml").write_bytes(b"ruleset: salt")
    found = read_project(
        written(
            tmp_path,
            'code = "nfpa70-2020"\ncatalogue = "ours"\namendments = ["salt"]\ncatalogues = "shelf/"\n'
            'amendment_files = "rules"\nonly = { methods = ["lever"], connectors = [] }\n'
            'columns = { "Wire" = "size" }\n'
            'waive = [{ rule = "a/b", reason = "why", until = 2026-12-31 }]\n[service]\nport = 9\n',
        )
    )
    assert (found.code, found.catalogue, found.only) == ("nfpa70-2020", "ours", {"methods": ["lever"]})
    assert found.shelf == (("ours", b"catalogue: ours"),)
    assert found.catalogue_file("ours") == tmp_path / "shelf" / "ours.yaml"
    salt = tmp_path / "rules" / "salt.yaml"
    assert (found.amendment_files, found.amendments) == (salt.parent, ("salt",))
    assert found.own_amendments == (AmendmentText("salt", str(salt), b"ruleset: salt"),)
    assert found.waive == ({"rule": "a/b", "reason": "why", "until": "2026-12-31"},)
    assert (found.columns, found.service) == ({"Wire": "size"}, {"port": 9})
    again = pickle.loads(pickle.dumps(found))
    assert again == found
    assert (hash(again), again.code) == (hash(found), found.code)


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ('\ncatalouge = "a"', "2: catalouge: unknown key; did you mean 'catalogue'?"),
        ('code = "nfpa70-2021"', "1: code: \"nfpa70-2021\" is not known; did you mean 'nfpa70-2023'?"),
        ("code = 2023", "1: code: 2023 is not a word"),
        ('only = { methods = ["levr"] }', "1: only/methods/0: \"levr\" is not known; did you mean 'lever'?"),
        ("[[waive]]\nrule='a'\nreason='b'\n", "1: waive/0/until: is required"),
        ('amendments = "county"', "1: amendments: must be a list"),
        ('amendment_files = "ruels"', "1: amendment_files: "),
        ("service = 8000", "1: service: must be a table of settings: [service]"),
        ("columns = 1", "1: columns: must be a table of headings"),
        ("[columns]\nWire = 'size'\nQty = 1", "3: columns/Qty: 1 is not text; name a column"),
        ("[columns]\n" + "\n".join(f"c{n} = 'size'" for n in range(201)), "1: columns: has 201 headings; at most 200"),
        ('catalogues = "shlf"', "1: catalogues: "),
        ("a = ", "1: not TOML: "),
    ],
)
def test_what_is_wrong_is_told_with_line_key_and_the_nearest_right_word(tmp_path: Path, text: str, says: str) -> None:
    (one,) = told(written(tmp_path, text))
    assert one.startswith(says)


def test_every_fault_is_told(tmp_path: Path) -> None:
    assert len(told(written(tmp_path, "code = 1\ncatalogue = 2\nx = 3\n"))) == 3


def test_what_can_not_be_read_is_told(tmp_path: Path) -> None:
    assert told(tmp_path / FILE) == [" No such file or directory"]
    assert told(written(tmp_path, "#" * 200_001)) == [" is larger than 200,000 bytes"]
    (tmp_path / FILE).write_bytes(b"\xff")
    assert told(tmp_path / FILE) == ["1: is not UTF-8 text"]


def test_too_many_catalogues_are_told(tmp_path: Path) -> None:
    for number in range(201):
        (tmp_path / f"c{number}.yaml").touch()
    assert told(written(tmp_path, 'catalogues = "."')) == ["1: catalogues: has 201 files; at most 200 are read"]


@pytest.mark.parametrize("key", ["catalogues", "amendment_files"])
@pytest.mark.parametrize("name", ["ours.yml", "ours.YAML"])
def test_yaml_that_is_called_otherwise_is_told_and_not_passed_over(tmp_path: Path, key: str, name: str) -> None:
    file = written(tmp_path, f'{key} = "mine"')
    (tmp_path / "mine").mkdir()
    (tmp_path / "mine" / name).touch()
    (tmp_path / "mine" / "shelf.xlsx").touch()
    where = tmp_path / "mine" / name
    assert told(file) == [f"1: {key}: {where}: nothing reads this file; call it ours.yaml, or put it elsewhere"]


@pytest.mark.parametrize("name", ["county", "county.yaml", "old.yml"])
def test_a_folder_among_amendments_is_told_and_not_passed_over(tmp_path: Path, name: str) -> None:
    file = written(tmp_path, 'code = "nfpa70-2020"\namendment_files = "rules/"')
    inner = tmp_path / "rules" / name
    (tmp_path / "rules" / ".git").mkdir(parents=True)
    assert read_project(file).own_amendments == ()
    inner.mkdir()
    (inner / "bay.yaml").write_text("ruleset: bay")
    says = f"nothing reads this folder; put its files into {tmp_path / 'rules'}, or elsewhere"
    assert told(file) == [f"2: amendment_files: {inner}: {says}"]


@pytest.mark.parametrize("key", ["catalogues", "amendment_files"])
def test_a_link_that_leads_nowhere_is_told_and_not_passed_over(tmp_path: Path, key: str) -> None:
    (tmp_path / "mine").mkdir()
    link = tmp_path / "mine" / "bay.yaml"
    link.symlink_to(tmp_path / "gone.yaml")
    (one,) = told(written(tmp_path, f'{key} = "mine"'))
    assert one.startswith(f"1: {key}: {link}: No such file or directory")


def test_it_is_found_from_the_working_folder_upwards(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("SPLICEWRIGHT_PROJECT", raising=False)
    inner = tmp_path / "a" / "b"
    inner.mkdir(parents=True)
    file = written(tmp_path, 'catalogue = "outer"')
    monkeypatch.chdir(inner)
    assert find_project() == file
    nearer = written(inner.parent, 'catalogue = "inner"')
    assert find_project() == nearer
    found = project_here()
    assert found is not None
    assert found.catalogue == "inner"
    monkeypatch.setenv("SPLICEWRIGHT_PROJECT", str(file))
    assert find_project() == file
    assert find_project(nearer) == nearer


def test_there_may_be_none(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("SPLICEWRIGHT_PROJECT", raising=False)
    gone = tmp_path / "gone"
    gone.mkdir()
    monkeypatch.chdir(gone)
    assert project_here() is None
    gone.rmdir()
    assert find_project() is None
