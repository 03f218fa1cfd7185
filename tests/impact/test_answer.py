"""What a step from one stack to another does to a job: what changed is told, and nothing untrue."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
import yaml

from splicewright import shipped
from splicewright.answering import Chooser
from splicewright.faults import Faults
from splicewright.impact.answer import impact_of
from splicewright.impact.boxes import boxes_in
from splicewright.impact.stacks import StackName, read_stack
from splicewright.shelf.joints import work_in
from splicewright.yaml_text import read_yaml
from tests.house_rule import of_checks
from tests.shelf.files import written

JOB = shipped.folder("openapi") / "examples" / "boathouse-job.yaml"


@pytest.fixture(scope="module")
def chooser() -> Chooser:
    return Chooser()


def impact(chooser: Chooser, file: Path, old: str, new: str) -> dict[str, Any]:
    stacks = [read_stack(StackName.read(one), chooser.holding) for one in (old, new)]
    paths = [str(file)]
    return impact_of(stacks[0], stacks[1], work_in(paths), boxes_in(paths)).to_dict()


def test_a_job_moved_to_another_edition_tells_what_changed(chooser: Chooser, tmp_path: Path) -> None:
    job = yaml.safe_load(JOB.read_text())
    box = job["boxes"][0]
    box["wires"][1]["count"] = 6
    file = tmp_path / "job.yaml"
    file.write_text(yaml.safe_dump(job))
    told = impact(chooser, file, "nfpa70-2017", "nfpa70-2023")
    (filled,) = told["boxes"]
    assert (filled["id"], filled["quantity"]) == (box["id"], 4)
    assert (filled["required"]["was"]["in3"], filled["required"]["is"]["in3"]) == (22.5, 23.625)
    assert filled["fits"] == {"was": True, "is": True}
    ((counted),) = filled["allowances"]
    assert (counted["for"], counted["was"]["count"], counted["is"]["count"]) == (
        "6 equipment grounding, at 12 AWG",
        1,
        1.5,
    )
    change = told["changes"][filled["because"][0]["change"]]
    assert (change["kind"], change["name"], change["boxes"]) == ("table", "box-fill", 4)
    assert told["decided"] == 0
    assert 0 < told["changed"] < told["asked"]
    by_rule = {one.get("to"): one for one in told["changes"]}
    joined = by_rule["grounding/grounding-conductors-of-the-box-joined"]
    assert (joined["kind"], joined["from"]) == ("replaced", "grounding/grounding-conductors-of-its-circuits-joined")
    assert {"from": "scope/joint-under-water-in-2017", "to": "scope/joint-under-water"} in told["moved"]
    for joint in told["joints"]:
        for point in joint["points"]:
            assert point["was"] != point["is"]
            assert all(one["alone"] or one["needed"] for one in point["because"])


def test_the_same_stack_changes_nothing(chooser: Chooser) -> None:
    told = impact(chooser, JOB, "nfpa70-2023", "nfpa70-2023")
    assert (told["changed"], told["joints"], told["boxes"], told["changes"], told["without_effect"]) == (
        0,
        [],
        [],
        [],
        0,
    )


def test_changes_without_effect_are_counted_and_not_told(chooser: Chooser) -> None:
    told = impact(chooser, JOB, "nfpa70-2023", "nfpa70-2023+coastal-county+house-rules")
    named = {one["to"] for one in told["changes"]}
    assert "house-rules/levers-in-luminaires" in named
    assert "house-rules/label-what-waits" not in named
    assert told["without_effect"] >= 1
    assert told["to"]["amendments"] == ["coastal-county", "house-rules"]
    assert all(one["joints"] and one["points"] for one in told["changes"])


def test_connector_that_the_other_catalogue_lacks_is_none_there(chooser: Chooser, tmp_path: Path) -> None:
    shop = read_yaml((shipped.folder("rulesets") / "catalogues" / "shop.yaml").read_bytes()).value
    kept = [one for one in shop["connectors"] if one["id"] != "lever-2-port"]
    own = written(tmp_path, "own.yaml", {**shop, "catalogue": "own", "connectors": kept})
    file = tmp_path / "q.yaml"
    file.write_text("joint: {conductors: [{size: 14 AWG, count: 2}]}\nonly: {connectors: [lever-2-port]}\n")
    for old, new in (("@shop", f"@{own}"), (f"@{own}", "@shop")):
        (joint,) = impact(chooser, file, f"nfpa70-2023{old}", f"nfpa70-2023{new}")["joints"]
        (outcome,) = (point for point in joint["points"] if point["what"] == "outcome")
        assert {outcome["was"], outcome["is"]} == {"options", "no-connector"}
        assert outcome["because"]


def test_connector_that_neither_catalogue_has_is_told_where_it_is_asked_for(chooser: Chooser, tmp_path: Path) -> None:
    file = tmp_path / "q.yaml"
    file.write_text("joint: {conductors: [{size: 14 AWG, count: 2}]}\nonly: {connectors: [lever-2-prt]}\n")
    with pytest.raises(Faults, match=r"q\.yaml:1: /only/connectors: .*did you mean 'lever-2-port'"):
        impact(chooser, file, "nfpa70-2020", "nfpa70-2023")


def test_a_box_without_joints_is_reckoned_by_both(chooser: Chooser, tmp_path: Path) -> None:
    box = {
        "id": "bx",
        "box": {"volume": "22.5 in3"},
        "wires": [{"size": "12 AWG", "count": 8}, {"size": "12 AWG", "count": 6, "role": "equipment-grounding"}],
    }
    for value in (box, {"boxes": [box]}):
        told = impact(chooser, Path(written(tmp_path, "box.yaml", value)), "nfpa70-2017", "nfpa70-2023")
        ((filled),) = told["boxes"]
        assert (filled["required"]["was"]["in3"], filled["required"]["is"]["in3"]) == (20.25, 21.375)
        assert (told["asked"], told["joints"]) == (0, [])


_PROPOSAL = {"connector": "lever-3-port", "strip": {"value": 11, "unit": "mm"}, "tugged": True, "reused": True}
_CHECK = {"joint": {"conductors": [{"size": "14 AWG", "count": 3}]}, "proposal": _PROPOSAL}
_TIGHT = """
ruleset: tight
about: A county that measures.
amends: every-code
by: {authority: Bay County, document: Ordinance 7, section: '3', obtained: page}
rules:
  - id: strip-to-a-tenth
    when: always
    tolerance: {of: strip, within: 0.1 mm, methods: [lever]}
    says: A tenth of a millimeter either way.
    source: common-practice
    examples:
      fires: [{proposal: {method: lever, strip: {value: 12, unit: mm}}}]
      silent: [{proposal: {method: lever}}]
"""
_EFFECTS = [
    (
        "defect: {said: {reused: true}, methods: [lever]}",
        "proposal: {method: lever, reused: true}",
        "proposal: {method: lever, reused: false}",
        "unsound",
        "violation",
    ),
    (
        "ask: {for: sealed, methods: [lever]}",
        "proposal: {method: lever}",
        "proposal: {method: lever, sealed: true}",
        "unproven",
        "unproven",
    ),
]


@pytest.mark.parametrize(("effect", "fires", "silent", "verdict", "standing"), _EFFECTS)
@pytest.mark.parametrize("value", [_CHECK, {"joints": [{"id": "a", **_CHECK}]}], ids=["check", "job"])
def test_a_rule_on_checks_is_the_cause_of_another_verdict(
    chooser: Chooser, tmp_path: Path, value: Any, effect: str, fires: str, silent: str, verdict: str, standing: str
) -> None:
    rules = tmp_path / "our-firm.yaml"
    rules.write_text(of_checks(effect, fires, silent))
    told = impact(chooser, Path(written(tmp_path, "c.yaml", value)), "nfpa70-2023", f"nfpa70-2023+{rules}")
    ((joint),) = told["joints"]
    assert [(point["what"], point["was"], point["is"]) for point in joint["points"]] == [
        ("verdict", "sound", verdict),
        (standing, None, "We use no lever twice."),
    ]
    assert all(point["because"] == [{"change": 0, "alone": True, "needed": True}] for point in joint["points"])
    assert told["changes"][0]["to"] == "our-firm/no-reused-levers"
    assert (told["changed"], told["decided"]) == (1, 1)


def test_another_tolerance_is_the_cause_of_another_verdict(chooser: Chooser, tmp_path: Path) -> None:
    rules = tmp_path / "tight.yaml"
    rules.write_text(_TIGHT)
    value = {**_CHECK, "proposal": {**_PROPOSAL, "strip": {"value": 11.5, "unit": "mm"}}}
    told = impact(chooser, Path(written(tmp_path, "c.yaml", value)), "nfpa70-2023", f"nfpa70-2023+{rules}")
    ((joint),) = told["joints"]
    point, *_ = joint["points"]
    assert (point["what"], point["was"], point["is"]) == ("verdict", "sound", "unsound")


def test_proposal_that_neither_catalogue_knows_is_told_where_it_stands(chooser: Chooser, tmp_path: Path) -> None:
    value = {**_CHECK, "proposal": {**_PROPOSAL, "connector": "lever-3-prt"}}
    with pytest.raises(Faults, match=r"c\.yaml:.*: /proposal/connector: .*did you mean 'lever-3-port'"):
        impact(chooser, Path(written(tmp_path, "c.yaml", value)), "nfpa70-2020", "nfpa70-2023")


def test_proposal_that_is_none_is_told_where_it_stands(chooser: Chooser, tmp_path: Path) -> None:
    for value in ({**_CHECK, "proposal": {"tuged": True}}, {"joints": [{**_CHECK, "proposal": {"tuged": True}}]}):
        with pytest.raises(Faults, match=r"/proposal/tuged: .*did you mean 'tugged'"):
            impact(chooser, Path(written(tmp_path, "c.yaml", value)), "nfpa70-2020", "nfpa70-2023")
