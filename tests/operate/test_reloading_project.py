"""A project's catalogues, and what it says of questions, are taken into use with the rules: whole or not at all."""

from __future__ import annotations

from pathlib import Path

import orjson
import pytest

from splicewright import shipped
from splicewright.answering import Chooser
from splicewright.operate import reloading
from splicewright.operate.reloading import NotProven, copied_project, prove_copy
from splicewright.operate.rule_check import check_rulesets
from splicewright.project.reading import read_project
from tests.api.small import small_rulesets
from tests.house_rule import FIRM
from tests.operate.renewing import reload_rules
from tests.project.projects import NAMED, project

QUESTION = {"joint": {"conductors": [{"size": "12 AWG", "count": 2}]}, "explain": "brief"}


@pytest.fixture
def file(tmp_path: Path) -> Path:
    return project(tmp_path / "ours", NAMED)


@pytest.fixture
def chooser(tmp_path: Path, file: Path) -> Chooser:
    return Chooser(small_rulesets(tmp_path / "rulesets"), project=file)


def test_what_it_says_now_is_in_use_after_a_reload_and_after_another(chooser: Chooser, file: Path) -> None:
    assert len(chooser.choose(QUESTION)["options"]) > 1
    file.write_text(NAMED.replace("2020", "2023") + 'only = { connectors = ["lever-3-port"] }')
    reload_rules(chooser)
    answer = chooser.choose(QUESTION)
    assert (answer["rulesets"]["code"], answer["catalogue"]["name"]) == ("nfpa70-2023", "our-shelf")
    assert [one["connector"] for one in answer["options"]] == ["lever-3-port"]
    assert answer["assumed"]["/only"]["from"] == "project"
    shelf = file.parent / "shelf" / "our-shelf.yaml"
    shelf.write_text(shelf.read_text().replace("id: lever-3-port", "id: lever-new"))
    file.write_text(NAMED)
    reload_rules(chooser)
    assert "lever-new" in {one["connector"] for one in chooser.choose({**QUESTION, "limit": 100})["options"]}


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("catalogue = 1", "splicewright.toml:1: catalogue: 1 is not text"),
        (NAMED.replace('"our-shelf"', '"our-shlf"'), 'splicewright.toml:2: catalogue: "our-shlf" is not known'),
    ],
)
def test_a_project_that_is_wrong_leaves_everything_as_it_was(
    chooser: Chooser, file: Path, text: str, says: str
) -> None:
    before = orjson.dumps(chooser.choose(QUESTION))
    file.write_text(text)
    with pytest.raises(NotProven) as raised:
        reload_rules(chooser)
    assert says in raised.value.reasons[0]
    assert orjson.dumps(chooser.choose(QUESTION)) == before


def test_a_fault_of_its_catalogue_is_told_in_its_own_file(chooser: Chooser, file: Path) -> None:
    shelf = file.parent / "shelf" / "our-shelf.yaml"
    shelf.write_text(shelf.read_text().replace("method: lever", "method: levr", 1))
    with pytest.raises(NotProven) as raised:
        reload_rules(chooser)
    assert raised.value.reasons[0].startswith(f"{shelf}:")


@pytest.fixture
def rules(file: Path) -> Path:
    found = file.parent / "rules" / "our-firm.yaml"
    found.parent.mkdir()
    found.write_text(FIRM)
    file.write_text('amendment_files = "rules"\namendments = ["our-firm"]\n' + NAMED)
    return found


def test_its_amendments_are_laid_from_the_copy_too(file: Path, rules: Path, tmp_path: Path) -> None:
    asked = {"joint": {"conductors": [{"size": "12 AWG", "count": 3}], "tags": ["kitchen"]}, "explain": "brief"}
    there = Chooser(small_rulesets(tmp_path / "rulesets"), project=file)
    before = there.choose(asked)
    assert before["rulesets"]["amendments"] == ["our-firm"]
    assert reload_rules(there)
    assert there.choose(asked) == before
    rules.write_text(FIRM.replace("method: push-in", "method: lever"))
    reload_rules(there)
    assert {one["method"] for one in there.choose(asked)["options"]} == {"push-in", "twist-on"}


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        ("method: push-in", "method: push-inn", "did you mean 'push-in'"),
        ("silent: [{}]", "silent: [{joint: {tags: [kitchen]}}]", "examples/silent/0"),
    ],
)
def test_a_fault_of_its_amendment_is_told_in_its_own_file(
    file: Path, rules: Path, tmp_path: Path, old: str, new: str, says: str
) -> None:
    chooser = Chooser(small_rulesets(tmp_path / "rulesets"), project=file)
    rules.write_text(FIRM.replace(old, new))
    with pytest.raises(NotProven) as raised:
        reload_rules(chooser)
    assert any(one.startswith(f"{rules}:") and says in one for one in raised.value.reasons), raised.value.reasons


def test_a_copy_has_all_that_is_to_be_answered_from(
    chooser: Chooser, file: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(reloading, "prove_in_child", lambda _: ("sha256:a",))
    copy = tmp_path / "copy"
    assert prove_copy(chooser.rulesets, copy, read_project(file)) == ("sha256:a",)
    answered = Chooser(copy, project=copied_project(copy)).choose(QUESTION)
    assert answered == chooser.choose(QUESTION)
    assert prove_copy(chooser.rulesets, tmp_path / "other", trusted=True) == ()
    assert copied_project(tmp_path / "other") is None


_BAY = """ruleset: {name}
about: Takes out.
amends: every-code
by: {{authority: Bay County, document: Ordinance 7, section: '3', obtained: page}}
withdraws: [{{rule: {rule}, says: Not here.}}]
"""


def _amended(tmp_path: Path, amendments: str, **withdrawn: str) -> Path:
    rules = tmp_path / "rules"
    rules.mkdir()
    for name, rule in withdrawn.items():
        (rules / f"{name}.yaml").write_text(_BAY.format(name=name, rule=rule))
    file = tmp_path / "splicewright.toml"
    file.write_text(f'amendments = {amendments}\namendment_files = "rules"\n')
    return file


@pytest.mark.slow
def test_the_stack_of_a_project_is_proved_whole(tmp_path: Path) -> None:
    rule = "access/never-inside-a-raceway"
    ours = read_project(_amended(tmp_path, '["one", "two"]', one=rule, two=rule))
    told = [str(fault) for fault in check_rulesets(shipped.folder("rulesets"), project=ours).faults]
    assert any(f"{rule} was withdrawn by one" in one for one in told)
    with pytest.raises(NotProven) as raised:
        prove_copy(shipped.folder("rulesets"), tmp_path / "copy", ours, trusted=True)
    assert any(f"{rule} was withdrawn by one" in one for one in raised.value.reasons)
