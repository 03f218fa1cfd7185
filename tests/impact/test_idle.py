"""Rules that change no answer: silent ones, ones that another does the work of, and what was not tried."""

from __future__ import annotations

import pytest

from splicewright.answering import Chooser
from splicewright.impact.idle import IdleRules, idle_rules
from splicewright.impact.stacks import Stack
from splicewright.shelf.joints import joints_sent
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
DRY, BURIED = {"joint": _JOINT}, {"joint": _JOINT, "place": {"exposure": "buried"}}


@pytest.fixture(scope="module")
def stack(tmp_path_factory: pytest.TempPathFactory) -> Stack:
    folder = small_rulesets(tmp_path_factory.mktemp("idle") / "rulesets")
    file = folder / RULES
    file.write_text(file.read_text() + _MORE)
    holding = Chooser(folder).holding
    return Stack(holding.rulebook("nfpa70-2023"), holding.index("shop").catalogue)


def told(stack: Stack, *questions: object, **more: int) -> IdleRules:
    joints = joints_sent((f"/{at}", one) for at, one in enumerate(questions))
    return idle_rules(stack, stack.book.rules, joints, **more)


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


def test_what_was_not_tried_is_told_as_undecided(stack: Stack) -> None:
    found = told(stack, BURIED, DRY, most=1)
    assert names(found, "undecided") == ["joint-is-wet-rated", "twice-asked-as-dry"]
    assert names(found, "idle") == []
