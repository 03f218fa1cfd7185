"""Rules that change no answer: silent ones, ones that another does the work of, and what was not tried."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from splicewright.answering import Chooser
from splicewright.impact.idle import AskedJoints, IdleRules, idle_rules
from splicewright.impact.stacks import Stack
from splicewright.shelf.joints import work_sent
from tests.api.small import RULES, small_rulesets

_MORE = """
  - id: twice-asked-as-dry
    when:
      - place: {exposure: [dry, buried]}
    demand: {places: {includes: dry}}
    says: Each connector here is listed for dry places.
    source: common-practice
    examples: {fires: [{}], silent: [{place: {exposure: damp}}]}

  - id: told-where-it-is-damp
    when:
      - place: {exposure: damp}
    caution: true
    says: Here it is damp.
    source: common-practice
    examples: {fires: [{place: {exposure: damp}}], silent: [{}]}

  - id: worn-ends-are-a-defect
    when: always
    defect: {sign: nicked-conductor}
    says: A nick breaks later.
    source: common-practice
    examples: {fires: [{proposal: {method: lever}}], silent: [{proposal: {method: push-in}}]}
"""
_JOINT = {"conductors": [{"size": "12 AWG", "count": 2}]}
_FURTHER_REASONS = """
  - id: levers-stay-out-of-the-ground
    when:
      - place: {exposure: buried}
    bar: {method: lever}
    says: Levers fill with earth.
    source: common-practice
    examples: {fires: [{place: {exposure: buried}}], silent: [{}]}

  - id: two-push-ins-only
    when:
      - place: {exposure: buried}
    bar: {method: push-in}
    says: There is none here.
    source: common-practice
    examples: {fires: [{place: {exposure: buried}}], silent: [{}]}

  - id: a-port-to-spare
    when:
      - place: {exposure: buried}
    demand: {spare_ports: {at-least: 1}}
    says: Leave a port open.
    source: common-practice
    examples: {fires: [{place: {exposure: buried}}], silent: [{}]}

  - id: no-port-to-spare
    when:
      - place: {exposure: buried}
    demand: {spare_ports: {at-most: 0}}
    says: Leave no port open.
    source: common-practice
    examples: {fires: [{place: {exposure: buried}}], silent: [{}]}
"""
_BARS = """
  - id: {id}
    when:
      - place: {{exposure: buried}}
    bar: joint
    says: {says}
    source: common-practice
    examples: {{fires: [{{place: {{exposure: buried}}}}], silent: [{{}}]}}
"""
DRY, BURIED = {"joint": _JOINT}, {"joint": _JOINT, "place": {"exposure": "buried"}}


def made(folder: Path, more: str) -> Stack:
    file = small_rulesets(folder) / RULES
    file.write_text(file.read_text() + more)
    holding = Chooser(folder).holding
    return Stack(holding.rulebook("nfpa70-2023"), holding.index("shop").catalogue)


@pytest.fixture(scope="module")
def stack(tmp_path_factory: pytest.TempPathFactory) -> Stack:
    return made(tmp_path_factory.mktemp("idle") / "rulesets", _MORE)


def told(stack: Stack, *questions: object, **more: int) -> IdleRules:
    joints = work_sent((f"/{at}", one) for at, one in enumerate(questions))
    return idle_rules([AskedJoints(stack, stack.book.rules, joints)], **more)


def names(found: IdleRules, group: str) -> list[str]:
    return [one["rule"].partition("/")[2] for one in found.to_dict()[group]]


def test_rules_that_fire_on_no_joint_are_silent(stack: Stack) -> None:
    found = told(stack, DRY)
    assert names(found, "silent") == ["buried-is-wet", "joint-is-wet-rated", "told-where-it-is-damp"]
    assert names(found, "idle") == ["twice-asked-as-dry"]
    assert (found.asked, found.judged, found.to_dict()["not_judged"]) == (1, 4, 1)


def test_a_rule_that_decides_somewhere_is_not_idle_nor_is_what_it_rests_on(stack: Stack) -> None:
    found = told(stack, DRY, BURIED)
    assert names(found, "silent") == ["told-where-it-is-damp"]
    assert names(found, "idle") == ["twice-asked-as-dry"]
    assert found.fired["environment/twice-asked-as-dry"] == 2


def test_a_caution_is_part_of_an_answer(stack: Stack) -> None:
    found = told(stack, {"joint": _JOINT, "place": {"exposure": "damp"}})
    assert names(found, "idle") == []
    assert "told-where-it-is-damp" not in names(found, "silent")


def test_a_further_reason_against_a_connector_is_part_of_an_answer(tmp_path: Path) -> None:
    found = told(made(tmp_path / "rulesets", _FURTHER_REASONS), BURIED)
    assert names(found, "idle") == ["no-port-to-spare", "two-push-ins-only"]  # they refuse none that there is


@pytest.mark.parametrize(("says", "idle"), [("Why not.", 0), ("Why.", 2)])
def test_a_further_reason_against_the_joint_is_part_of_an_answer(tmp_path: Path, says: str, idle: int) -> None:
    bars = _BARS.format(id="no", says="Why.") + _BARS.format(id="nor", says=says)
    assert len([*filter({"no", "nor"}.__contains__, names(told(made(tmp_path / "r", bars), BURIED), "idle"))]) == idle


def test_what_a_check_finds_is_part_of_an_answer(tmp_path: Path) -> None:
    further = """
  - id: taped-is-not-our-way
    when: always
    defect: {said: {taped: true}, methods: [lever]}
    says: We use no tape.
    source: common-practice
    examples: {fires: [{proposal: {method: lever, taped: true}}], silent: [{proposal: {method: lever, taped: false}}]}
"""
    stack = made(tmp_path / "rulesets", _MORE + further)
    sound, taped, nicked = (
        {**DRY, "proposal": {"method": "lever", **said}}
        for said in ({}, {"taped": True}, {"signs": ["nicked-conductor"]})
    )
    assert {"taped-is-not-our-way", "worn-ends-are-a-defect"} <= {*names(told(stack, sound), "idle")}
    assert "taped-is-not-our-way" not in names(told(stack, sound, taped), "idle")
    assert "worn-ends-are-a-defect" not in names(told(stack, nicked), "idle")


def test_what_was_not_tried_is_told_as_undecided(stack: Stack) -> None:
    found = told(stack, BURIED, DRY, most=1)
    assert names(found, "undecided") == ["joint-is-wet-rated", "twice-asked-as-dry"]
    assert names(found, "idle") == []


def test_a_rule_of_two_stacks_is_idle_where_it_is_under_both(stack: Stack) -> None:
    other = Stack(replace(stack.book, rules=stack.book.rules[:-1]), stack.catalogue)
    parts = [(stack, [DRY]), (other, [BURIED])]
    asked = [
        AskedJoints(one, one.book.rules, work_sent((f"/{at}", each) for at, each in enumerate(questions)))
        for one, questions in parts
    ]
    alone = [idle_rules([one]) for one in asked]
    for order in (asked, asked[::-1]):
        found = idle_rules(order)
        left = {rule.id for rule in (*found.silent, *found.idle)}
        for rule in stack.book.rules:
            if rule.effect.kind not in ("defect", "refuse"):
                each = [
                    rule in (*one.silent, *one.idle) for one, put in zip(alone, asked, strict=True) if rule in put.rules
                ]
                assert (rule.id in left) is all(each)
        assert (found.asked, found.stacks) == (2, tuple(one.stack for one in order))
        assert found.fired == alone[0].fired + alone[1].fired
    assert len({*names(idle_rules(asked), "silent")}) < len({*names(alone[0], "silent"), *names(alone[1], "silent")})
