"""Changed rules are taken into use whole or not at all, and only after a child process has proved them."""

from __future__ import annotations

import os
import shutil
import sys
from pathlib import Path

import orjson
import pytest

from splicewright import shipped
from splicewright.answering import Chooser
from splicewright.operate.reloading import NotProven, prove_copy, prove_in_child
from splicewright.operate.rule_check import check_rulesets, digests
from tests.api.small import RULES, small_rulesets
from tests.operate.renewing import reload_rules

SHOP = Path("catalogues") / "shop.yaml"
QUESTION = {
    "joint": {"conductors": [{"size": "12 AWG", "count": 2, "insulation": "THWN-2"}]},
    "place": {"exposure": "wet"},
}


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return small_rulesets(tmp_path / "rulesets")


def changed(folder: Path, old: str, new: str, file: Path = RULES) -> None:
    path = folder / file
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new, 1), encoding="utf-8")


@pytest.mark.slow
def test_changed_rule_is_in_use_after_a_reload_and_the_digest_tells_it(folder: Path) -> None:
    chooser = Chooser(folder)
    before = chooser.choose(QUESTION)
    changed(folder, "about: ", "about: Now otherwise. ")
    changed(folder, "says: Here a joint in the ground", "says: A joint in the ground")
    digests = reload_rules(chooser)
    after = chooser.choose(QUESTION)
    assert after["rulesets"]["digest"] in digests
    assert after["rulesets"]["digest"] != before["rulesets"]["digest"]


def test_fault_in_one_file_leaves_everything_as_it_was(folder: Path) -> None:
    chooser = Chooser(folder)
    before = orjson.dumps(chooser.choose(QUESTION))
    changed(folder, "id: lever-2-port\n", "id: lever-changed\n", SHOP)
    changed(folder, "exposure: damp", "exposure: dampp")
    with pytest.raises(NotProven) as caught:
        reload_rules(chooser)
    assert any(reason.startswith("nfpa70/environment.yaml:") for reason in caught.value.reasons)
    assert orjson.dumps(chooser.choose(QUESTION)) == before


def test_failing_example_keeps_a_rulebook_out(folder: Path) -> None:
    changed(folder, "fires: [", "fires: [{place: {exposure: dry}}, ")
    with pytest.raises(NotProven, match="examples/fires/0: the rule is silent on it"):
        prove_in_child(folder)


def test_fault_in_a_catalogue_keeps_it_out(folder: Path) -> None:
    changed(folder, "method: lever\n", "method: levers\n", SHOP)
    with pytest.raises(NotProven, match="did you mean 'lever'"):
        prove_in_child(folder)


@pytest.mark.slow
def test_other_tables_than_those_in_use_are_not_taken(folder: Path) -> None:
    shutil.copytree(shipped.folder("rulesets") / "tables", folder / "tables")
    assert prove_in_child(folder)
    changed(folder, "{60: 20, 75: 25, 90: 30}", "{60: 21, 75: 25, 90: 30}", Path("tables") / "ampacity.yaml")
    with pytest.raises(NotProven, match="tables"):
        prove_in_child(folder)


@pytest.mark.slow
@pytest.mark.parametrize(
    ("missing", "says"), [("nfpa70", "holds no rules of nfpa70-2023"), ("catalogues", "holds no catalogue")]
)
def test_folder_that_lost_its_files_is_not_taken_for_one_without_rules(folder: Path, missing: str, says: str) -> None:
    chooser = Chooser(folder)
    before = orjson.dumps(chooser.choose(QUESTION))
    shutil.rmtree(folder / missing)
    with pytest.raises(NotProven, match=says):
        reload_rules(chooser)
    assert orjson.dumps(chooser.choose(QUESTION)) == before


def test_child_that_is_brought_down_names_the_rule_it_was_compiling(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    child = tmp_path / "child"
    child.write_text("#!/bin/sh\necho compiling environment/first\necho compiling environment/second\nkill -SEGV $$\n")
    child.chmod(0o755)
    monkeypatch.setattr(sys, "executable", str(child))
    with pytest.raises(NotProven, match="brought down while compiling environment/second"):
        prove_in_child(tmp_path)


def test_folder_of_something_else_is_told_and_not_copied() -> None:
    chooser = Chooser(Path("/"), cache_bytes=0)
    with pytest.raises(NotProven, match=r"^/"):
        reload_rules(chooser)


def test_files_that_rules_are_not_read_from_are_not_copied(folder: Path, tmp_path: Path) -> None:
    (folder / "large.bin").write_bytes(b"0")
    os.mkfifo(folder / "pipe")
    (folder / "nfpa70" / "deeper").mkdir()
    (folder / "nfpa70" / "deeper" / "a.yaml").touch()
    (folder / ".git").mkdir()
    (folder / ".git" / "a.yaml").touch()
    assert prove_copy(folder, tmp_path / "copy", trusted=True) == ()
    copied = {path.relative_to(tmp_path / "copy") for path in (tmp_path / "copy").rglob("*") if path.is_file()}
    assert copied == {path.relative_to(folder) for path in folder.rglob("*.yaml")} - {
        Path("nfpa70/deeper/a.yaml"), Path(".git/a.yaml")
    }  # fmt: skip


@pytest.mark.parametrize(
    ("bound", "says"), [("MOST_FILES", "holds more than 5 YAML files"), ("MOST_BYTES", "have more than 5 bytes")]
)
def test_folder_of_too_much_is_told(
    folder: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, bound: str, says: str
) -> None:
    for at in range(6):
        (folder / f"more{at}.yaml").touch()
    monkeypatch.setattr(f"splicewright.operate.reloading.{bound}", 5)
    with pytest.raises(NotProven, match=says):
        prove_copy(folder, tmp_path / "copy", trusted=True)


def test_pipe_in_the_place_of_a_rule_file_is_told(folder: Path, tmp_path: Path) -> None:
    os.mkfifo(folder / "nfpa70" / "a.yaml")
    with pytest.raises(NotProven, match=r"nfpa70/a\.yaml: is no file"):
        prove_copy(folder, tmp_path / "copy", trusted=True)


_MANY = """
  - id: r{at}
    when: [{{place: {{exposure: damp}}}}]
    caution: true
    says: Mind it.
    source: common-practice
    examples: {{fires: [{{place: {{exposure: damp}}}}], silent: [{{place: {{exposure: dry}}}}]}}
"""


def test_one_rule_too_many_is_told_with_its_line(folder: Path) -> None:
    text = "ruleset: many\nabout: Many rules.\nrules:\n" + "".join(_MANY.format(at=f"{at:04}") for at in range(4_001))
    (folder / "practice").mkdir(exist_ok=True)
    (folder / "practice" / "zz-many.yaml").write_text(text.replace("ruleset: many", "ruleset: zz-many"))
    (fault,) = check_rulesets(folder).faults
    assert fault.file == "practice/zz-many.yaml"
    assert fault.says == "is one of more than 4000 rules; leave some out"
    assert f"id: {fault.part.partition('/')[2]}" in text.splitlines()[fault.line - 1]


@pytest.mark.slow
def test_proved_digests_are_those_of_the_rules_then_in_use(folder: Path) -> None:
    chooser = Chooser(folder)
    assert prove_in_child(folder) == reload_rules(chooser)


@pytest.mark.slow
def test_shipped_rules_are_proved_by_a_child_and_taken_into_use() -> None:
    chooser = Chooser()
    before = digests(chooser)
    assert reload_rules(chooser) == before
