"""Pages of work sheets: steps and cautions of several joints stand once, with the joints that they are for."""

from __future__ import annotations

from typing import Any

from splicewright.reports.work_sheet_pages import Known, Made, SheetJoint, SheetPage, Step

LIVE = {"phase": "make-safe", "do": "Lock it.", "rule": "a/lock"}
LEVER = {"phase": "close", "do": "Close the lever.", "rule": "a/lever"}
SHORT = {"phase": "strip", "do": "Strip.", "value": {"value": 11, "unit": "mm"}, "rule": "a/strip"}
LONG = {"phase": "strip", "do": "Strip.", "value": {"value": 19, "unit": "mm"}, "rule": "a/strip"}


def made(name: str, *steps: Any) -> Made:
    return Made({"name": name, "make_up": list(steps)}, {}, 1)


def joint(name: str, *connectors: Made, **more: Any) -> SheetJoint:
    return SheetJoint(name, 1, "options" if connectors else "barred", made=connectors, **more)


def page(*joints: SheetJoint) -> SheetPage:
    return SheetPage("p", 1, joints)


def test_step_of_every_joint_that_is_made_names_none() -> None:
    found = page(joint("a", made("Lever", LEVER, LIVE)), joint("b", made("Lever", LIVE)), joint("c")).steps
    assert found == [Step(LIVE, ()), Step(LEVER, ("a",))]


def test_figures_that_differ_are_steps_of_their_own() -> None:
    found = page(joint("a", made("Lever", SHORT)), joint("b", made("Twist-on", LONG))).steps
    assert found == [Step(SHORT, ("a",)), Step(LONG, ("b",))]


def test_joint_with_two_connectors_says_which_a_step_is_for() -> None:
    found = page(joint("a", made("Lever", LIVE, SHORT), made("Twist-on", LIVE, LONG))).steps
    assert found == [Step(LIVE, ()), Step(SHORT, ("a: Lever",)), Step(LONG, ("a: Twist-on",))]


def test_cautions_stand_once_and_those_of_every_joint_apart() -> None:
    always, mind = {"kind": "always", "rule": "a/x", "says": "X."}, {"kind": "mind", "rule": "a/y", "says": "Y."}
    found = page(joint("a", cautions=[always, mind]), joint("b", cautions=[always]))
    assert found.always == [Known(("a/x", "X."), ())]
    assert found.cautions == [Known(("a/y", "Y."), ("a",))]
