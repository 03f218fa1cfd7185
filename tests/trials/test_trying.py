"""Files are tried in a process of their own: every fault at once, what is valid with what it changes, no harm done."""

from __future__ import annotations

import sys
import threading
import time
from pathlib import Path
from typing import Any

import pytest

from splicewright import shipped
from splicewright.answering import Chooser
from splicewright.operate.reloading import copied_project, prove_copy
from splicewright.project.reading import read_project
from splicewright.refusals import Refused
from splicewright.trials import trying
from splicewright.trials.trying import TrialBusy, TrialFaults, try_files
from tests.house_rule import FIRM, of_checks
from tests.project.projects import NAMED, project

KITCHEN = {"id": "hots", "joint": {"conductors": [{"size": "14 AWG", "count": 3}], "tags": ["kitchen"]}}


@pytest.fixture(scope="module")
def chooser() -> Chooser:
    return Chooser()


def asked(*texts: str, **more: Any) -> dict[str, Any]:
    names = ("our-firm.yaml", "second.yaml", "third.yaml")
    return {"files": [{"name": name, "text": text} for name, text in zip(names, texts, strict=False)], **more}


def faults(chooser: Chooser, *texts: str, **more: Any) -> list[dict[str, Any]]:
    with pytest.raises(TrialFaults) as raised:
        try_files(asked(*texts, **more), chooser)
    return list(map(dict, raised.value.faults))


@pytest.mark.slow
def test_what_is_valid_is_told_with_what_it_changes(chooser: Chooser) -> None:
    told = try_files(asked(FIRM, questions=[KITCHEN]), chooser)
    assert told["rulesets"]["amendments"] == ["our-firm"]
    assert told["examples"] == {"run": 2}
    assert told["notes"] == []
    impact = told["impact"]
    assert (impact["asked"], impact["changed"], impact["decided"]) == (1, 1, 1)
    assert impact["joints"][0]["at"] == "/questions/0"
    assert [one["to"] for one in impact["changes"]] == ["our-firm/no-push-ins-in-kitchens"]
    assert try_files(asked(FIRM), chooser)["impact"] is None


@pytest.mark.slow
def test_a_rule_on_proposals_is_told_with_the_verdict_that_it_changes(chooser: Chooser) -> None:
    proposal = {"connector": "lever-3-port", "strip": {"value": 11, "unit": "mm"}, "tugged": True, "reused": True}
    check = {"joint": {"conductors": [{"size": "14 AWG", "count": 3}]}, "proposal": proposal}
    for more in ({"questions": [check]}, {"job": {"joints": [check]}}):
        told = try_files(asked(of_checks(), **more), chooser)["impact"]
        assert (told["changed"], told["decided"]) == (1, 1)
        verdict, violation = told["joints"][0]["points"]
        assert (verdict["what"], verdict["was"], verdict["is"]) == ("verdict", "sound", "unsound")
        assert (violation["what"], violation["is"]) == ("violation", "We use no lever twice.")
        assert [one["to"] for one in told["changes"]] == ["our-firm/no-reused-levers"]


@pytest.mark.slow
def test_it_is_laid_on_what_is_named(chooser: Chooser) -> None:
    told = try_files(asked(FIRM, code="nfpa70-2020", amendments=["coastal-county"], job={"joints": [KITCHEN]}), chooser)
    assert told["rulesets"]["amendments"] == ["coastal-county", "our-firm"]
    assert told["impact"]["from"]["amendments"] == ["coastal-county"]
    assert told["impact"]["joints"][0]["at"] == "/job/joints/0"


@pytest.mark.slow
def test_a_catalogue_beneath_is_known_by_its_name_and_no_file_is_opened(chooser: Chooser, tmp_path: Path) -> None:
    file = tmp_path / "theirs.yaml"
    file.write_text("catalogue: theirs\n")
    for name in (str(file), "theirs.yaml", "shopp"):
        with pytest.raises(Refused) as raised:
            try_files(asked(FIRM, catalogue=name), chooser)
        (problem,) = raised.value.problems
        assert problem.pointer == "/catalogue"
        assert "is not known" in problem.says
    assert problem.says.nearest == "shop"


@pytest.mark.slow
def test_a_service_with_a_project_of_its_own_tries_files_on_what_is_in_use(tmp_path: Path) -> None:
    """A service answers from a copy in which the project's own amendments and catalogues stand already."""
    file = project(tmp_path / "ours", NAMED + 'amendment_files = "rules"\namendments = ["our-firm"]\n')
    (file.parent / "rules").mkdir()
    (file.parent / "rules" / "our-firm.yaml").write_text(FIRM)
    copy = tmp_path / "copy"
    copy.mkdir()
    prove_copy(shipped.folder("rulesets"), copy, read_project(file), trusted=True)
    chooser = Chooser(copy, project=copied_project(copy))
    other = FIRM.replace("our-firm", "our-other").replace("push-in}", "lever}")
    told = try_files({"files": [{"name": "our-other.yaml", "text": other}], "questions": [KITCHEN]}, chooser)
    assert told["rulesets"]["amendments"] == ["our-firm", "our-other"]
    told = try_files(asked(FIRM.replace("push-in}", "lever}"), questions=[KITCHEN]), chooser)
    assert told["rulesets"]["amendments"] == ["our-firm"]
    (change,) = told["impact"]["changes"]
    assert (change["kind"], change["to"]) == ("replaced", "our-firm/no-push-ins-in-kitchens")


@pytest.mark.slow
def test_every_fault_of_every_file_is_told_with_line_rule_and_what_to_write(chooser: Chooser) -> None:
    second = FIRM.replace("our-firm", "second").replace("kitchen}", "Kitchen}")
    found = faults(chooser, FIRM.replace("push-in}", "push}"), second, "a: [")
    assert {(one["file"], one["line"]) for one in found} == {
        ("our-firm.yaml", 7),
        ("second.yaml", 6),
        ("third.yaml", 2),
    }
    assert next(one["write"] for one in found if one["file"] == "our-firm.yaml") == "push-in"
    assert next(one["part"] for one in found if one["file"] == "our-firm.yaml") == "no-push-ins-in-kitchens"


CONTRADICTION = """\
catalogue: mine
note: Ours.
connectors:
  - id: shell
    method: twist-on
    reusable: true
    irreversible: true
    takes: [{materials: [copper], constructions: [solid], combinations: [{14 AWG: 2}]}]
"""


@pytest.mark.slow
@pytest.mark.parametrize(
    ("text", "says"),
    [
        (FIRM.replace("fires: [{joint: {tags: [kitchen]}}]", "fires: [{}]"), "the rule is silent on it"),
        (FIRM.replace("silent: [{}]", "silent: [{joint: {tags: [kitchen]}}]"), "the rule fires on it"),
        (FIRM.replace("rules:", "withdraws: [{rule: environment/buried-is-wet, says: Why.}]\nrules:"), "write by:"),
        ("a: &x [1]\nb: *x\n", "anchors and aliases are not allowed"),
        ("!!python/object/apply:os.system ['true']\n", "the tag"),
        ("hello: world\n", "is neither an amendment"),
        ("[" * 5000, "nesting depth"),
        ("catalogue: mine\nconnectors: []\n", ""),
        (CONTRADICTION, "is true beside irreversible"),
    ],
)
def test_what_is_wrong_is_told(chooser: Chooser, text: str, says: str) -> None:
    assert any(says in one["says"] for one in faults(chooser, text))


@pytest.mark.slow
def test_what_loosens_below_the_floor_is_told(chooser: Chooser) -> None:
    by = "by: {authority: A, document: B, section: '1', obtained: page}\n"
    text = FIRM.replace("rules:", by + "withdraws: [{rule: environment/soaked-is-wet, says: Why.}]\nrules:")
    assert any(one["file"] == "floor.yaml" for one in faults(chooser, text))


@pytest.mark.slow
def test_rules_beyond_the_bound_are_told(chooser: Chooser) -> None:
    _, _, rule = FIRM.partition("rules:\n")
    many = "".join(rule.replace("no-push-ins-in-kitchens", f"r{at}") for at in range(201))
    (one,) = faults(chooser, FIRM.partition("rules:\n")[0] + "rules:\n" + many)
    assert "has 201 entries; 0 to 200 are allowed" in one["says"]


@pytest.mark.slow
def test_questions_that_are_none_are_refused_at_their_place(chooser: Chooser) -> None:
    with pytest.raises(Refused) as raised:
        try_files(asked(FIRM, questions=[KITCHEN, {"joint": {}}, {"x": 1}]), chooser)
    assert [one.pointer for one in raised.value.problems] == ["/questions/1/joint/conductors", "/questions/2"]


@pytest.mark.slow
def test_what_is_probably_not_meant_is_noted(chooser: Chooser) -> None:
    text = FIRM.replace("kitchen}}}]", "kitchen}}}, {place: {site: outdoors}}]").replace(
        "fires: [{joint: {tags: [kitchen]}}]", "fires: [{joint: {tags: [kitchen]}, place: {site: outdoors}}]"
    )
    text += text.partition("rules:\n")[2].replace("no-push-ins-in-kitchens", "the-same-again")
    text += (
        "  - id: too-hot\n    when: always\n    demand: {degrees: {at-least: 300 degC}}\n    says: Hot.\n"
        "    source: common-practice\n    examples: {fires: [{}]}\n"
    )
    notes = {one["rule"].partition("/")[2]: one["says"] for one in try_files(asked(text), chooser)["notes"]}
    assert notes["no-push-ins-in-kitchens"].startswith("examples/silent/0: fails by more than one test")
    assert notes["the-same-again"] == "does on the same joints what our-firm/no-push-ins-in-kitchens does already"
    assert notes["too-hot"].startswith("no connector of the catalogue shop passes what it asks of degrees")


def test_one_is_tried_at_a_time(chooser: Chooser, monkeypatch: pytest.MonkeyPatch) -> None:
    begun, end = threading.Event(), threading.Event()
    monkeypatch.setattr(trying, "_run", lambda *_: begun.set() or (end.wait(20) and {}))
    other = threading.Thread(target=try_files, args=(asked(FIRM), chooser))
    other.start()
    assert begun.wait(10)
    with pytest.raises(TrialBusy):
        try_files(asked(FIRM), chooser)
    end.set()
    other.join()


@pytest.mark.parametrize(
    ("program", "says"),
    [
        ("print('compiling a/b', flush=True); import os; os.abort()", "while a/b was compiled, or after"),
        ("print('compiling a/b', flush=True); import time; time.sleep(60)", "took longer than"),
        ("import os; os.abort()", "while it was read"),
    ],
)
def test_a_process_that_was_brought_down_is_told(
    chooser: Chooser, monkeypatch: pytest.MonkeyPatch, program: str, says: str
) -> None:
    monkeypatch.setattr(trying, "COMMAND", (sys.executable, "-c", program))
    monkeypatch.setattr(trying, "PATIENCE_S", 1)
    (one,) = faults(chooser, FIRM)
    assert says in one["says"]


@pytest.mark.slow
def test_a_child_writes_no_file_and_sees_no_environment(monkeypatch: pytest.MonkeyPatch, chooser: Chooser) -> None:
    monkeypatch.setenv("SECRET", "x")
    program = (
        "import os, json, resource\n"
        "from splicewright.trials import child\n"
        "told = lambda: {'secret': os.environ.get('SECRET'), 'wrote': write()}\n"
        "child._tried = lambda asked, tell: {'faults': [], 'told': told()}\n"
        "def write():\n"
        "    import tempfile, signal\n"
        "    signal.signal(signal.SIGXFSZ, signal.SIG_IGN)\n"
        "    try:\n"
        "        with tempfile.TemporaryFile() as file: file.write(b'x' * 10); file.flush()\n"
        "    except OSError: return False\n"
        "    return True\n"
        "child.main()\n"
    )
    monkeypatch.setattr(trying, "COMMAND", (sys.executable, "-c", program))
    assert try_files(asked(FIRM), chooser) == {"secret": None, "wrote": False}


def children() -> set[int]:
    """The processes of this one: those that other tests keep are among them."""
    tasks = Path("/proc/self/task").glob("*/children")
    return {int(one) for task in tasks for one in task.read_text().split()}


@pytest.mark.slow
def test_a_trial_takes_seconds_and_leaves_nothing_running(chooser: Chooser) -> None:
    before, begun = children(), time.monotonic()
    try_files(asked(FIRM), chooser)
    assert time.monotonic() - begun < 25
    assert children() <= before
