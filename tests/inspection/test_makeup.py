"""Make-up: figures at their limit and one step off, in every unit; flags; signs; what only some connectors ask."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pint
import pytest

from splicewright.question.vocabulary import CODES, SIGNS, STRIP_UNITS, TORQUE_UNITS
from splicewright.rulebook import load_rulebook
from splicewright.units import exact
from tests.inspection.checking import LEVER, TWIST_ON, checked, rules

STRIP = "make-up/strip-to-the-listed-length"
SCREW = {"connector": "set-screw-lug-splice-2-port", "strip": {"value": 10, "unit": "mm"}, "tugged": True}


@pytest.mark.parametrize(
    ("value", "unit", "verdict"),
    [
        (10, "mm", "sound"),  # 11 mm is listed, a millimetre either way
        (12, "mm", "sound"),
        (9.9999, "mm", "unsound"),
        (12.0001, "mm", "unsound"),
        (1, "cm", "sound"),
        (0.9999, "cm", "unsound"),
        (1.2, "cm", "sound"),
        (0.4724, "in", "sound"),  # 11.99896 mm
        (0.4725, "in", "unsound"),  # 12.0015 mm
        (0.3938, "in", "sound"),  # 10.00252 mm
        (0.3937, "in", "unsound"),  # 9.99998 mm
        (0, "mm", "unsound"),
    ],
)
def test_strip_length_at_its_limit_and_one_step_off(value: float, unit: str, verdict: str) -> None:
    answer = checked({**LEVER, "strip": {"value": value, "unit": unit}})
    assert answer["verdict"] == verdict
    (point,) = [one for one in (*answer["violations"], *answer["confirmed"]) if one["rule"] == STRIP]
    assert point["compared"] == {
        "said": {"value": value, "unit": unit},
        "wanted": {"value": 11, "unit": "mm"},
        "within": "1 mm",
        "tolerance": "inspection/strip-length-of-a-port",
    }
    assert "inspection/strip-length-of-a-port" in answer["rules"]


@pytest.mark.parametrize(
    ("value", "unit", "verdict"),
    [
        (16.5, "lbf-in", "sound"),  # 15 lbf-in is listed for 12 AWG, a tenth either way
        (16.5001, "lbf-in", "unsound"),
        (13.5, "lbf-in", "sound"),
        (13.4999, "lbf-in", "unsound"),
        (1.375, "lbf-ft", "sound"),
        (1.3751, "lbf-ft", "unsound"),
        (1.8642, "N-m", "sound"),  # 16.5 lbf-in is 1.86424968 N-m
        (1.8643, "N-m", "unsound"),
    ],
)
def test_torque_at_its_limit_and_one_step_off(value: float, unit: str, verdict: str) -> None:
    conductors = {"conductors": [{"size": "12 AWG", "count": 2, "construction": "stranded"}]}
    assert checked({**SCREW, "torque": {"value": value, "unit": unit}}, joint=conductors)["verdict"] == verdict


def test_torque_is_that_of_the_largest_conductor() -> None:
    conductors = {"conductors": [{"size": "14 AWG", "count": 2, "construction": "stranded"}]}
    answer = checked({**SCREW, "torque": {"value": 15, "unit": "lbf-in"}}, joint=conductors)
    (point,) = [violation for violation in answer["violations"] if "compared" in violation]
    assert point["compared"]["wanted"] == {"value": 10, "unit": "lbf-in"}


@pytest.mark.parametrize(("unit", "name"), [("mm", "mm"), ("cm", "cm"), ("in", "inch")])
def test_lengths_are_those_of_the_units_library(unit: str, name: str) -> None:
    """Source: the unit definitions of pint."""
    registry = pint.UnitRegistry(non_int_type=Fraction)
    assert exact(0.4375, unit) == registry.Quantity(Fraction("0.4375"), name).to("micrometer").magnitude
    assert unit in STRIP_UNITS


@pytest.mark.parametrize(
    ("unit", "name"), [("N-m", "newton*meter"), ("lbf-in", "force_pound*inch"), ("lbf-ft", "force_pound*foot")]
)
def test_torques_are_those_of_the_units_library(unit: str, name: str) -> None:
    """Source: the unit definitions of pint."""
    registry = pint.UnitRegistry(non_int_type=Fraction)
    assert exact(12.5, unit) == registry.Quantity(Fraction("12.5"), name).to("newton*meter").magnitude
    assert unit in TORQUE_UNITS


@pytest.mark.parametrize("word", ["tugged", "taped", "tied"])
@pytest.mark.parametrize(("said", "part"), [(True, "confirmed"), (False, "violations"), (None, "unproven")])
def test_a_flag_is_borne_out_wrong_or_open(word: str, said: bool | None, part: str) -> None:
    proposal = {
        key: value for key, value in {**TWIST_ON, "taped": True, "tied": True, word: said}.items() if value is not None
    }
    answer = checked(proposal, place={"movement": "vibrating"})
    leads = "asks" if said is None else "at"
    (found,) = [one for one in answer[part] if f"/proposal/{word}" in one.get(leads, ())]
    assert ("asks" in found) is (said is None)


@pytest.mark.parametrize(
    ("lead", "verdict"),
    [
        (True, "sound"),
        (False, "unsound"),
        ({"value": 1, "unit": "mm"}, "sound"),  # 3 mm is usual, 2 mm either way
        ({"value": 0.9999, "unit": "mm"}, "unsound"),
        ({"value": 5, "unit": "mm"}, "sound"),
        ({"value": 5.0001, "unit": "mm"}, "unsound"),
    ],
)
def test_the_stranded_lead_stands_ahead_by_a_flag_or_a_length(lead: Any, verdict: str) -> None:
    conductors = {"conductors": [{"size": "12 AWG"}, {"size": "12 AWG", "construction": "stranded"}]}
    assert checked({**TWIST_ON, "lead_advance": lead}, joint=conductors)["verdict"] == verdict


@pytest.mark.parametrize("sign", SIGNS)
def test_every_sign_makes_a_sound_splice_unsound(sign: str) -> None:
    answer = checked({**TWIST_ON, "signs": [sign]})
    assert answer["verdict"] == "unsound"
    (found,) = answer["violations"]
    assert found["at"][0] == "/proposal/signs"
    assert {"fact": "proposal.signs", "value": sign, "at": ["/proposal/signs"]} in found["from"]


@pytest.mark.parametrize("code", CODES)
def test_every_sign_has_one_rule_in_every_code(code: str) -> None:
    told = [rule.effect.sign for rule in load_rulebook(code).rules if rule.effect.sign]
    assert sorted(told) == sorted(SIGNS)


def test_what_no_rule_asks_is_told_as_not_judged() -> None:
    answer = checked({**LEVER, "torque": {"value": 10, "unit": "lbf-in"}, "taped": True})
    assert [(one["about"], one["said"]) for one in answer["unjudged"]] == [
        ("/proposal/torque", "proposal.torque: 10 lbf-in"),
        ("/proposal/taped", "proposal.taped: yes"),
    ]


def test_what_was_not_done_and_no_rule_asks_is_no_matter() -> None:
    assert checked({**LEVER, "taped": False, "reused": False})["unjudged"] == []


def test_an_insulated_connector_asks_for_no_cover() -> None:
    proposal = {"connector": "butt-crimp-large", "strip": {"value": 8, "unit": "mm"}, "tugged": True}
    assert "make-up/cover-a-bare-connector" not in rules(checked(proposal)["unproven"])


def test_connectors_that_differ_in_a_figure_leave_it_open_until_one_is_named() -> None:
    answer = checked({"method": "twist-on", "strip": {"value": 13, "unit": "mm"}, "pre_twisted": True, "tugged": True})
    assert STRIP in rules(answer["unproven"])
    assert {one["asks"] for one in answer["unproven"]} == {"/proposal/connector"}


@pytest.mark.parametrize(("length", "part"), [(11, "confirmed"), (20, "violations")])
def test_connectors_that_agree_in_a_figure_are_compared_with_it(length: float, part: str) -> None:
    conductors = {"conductors": [{"size": "18 AWG", "count": 2}]}
    proposal = {"method": "lever", "strip": {"value": length, "unit": "mm"}, "tugged": True}
    answer = checked(proposal, joint=conductors, circuit={"kind": "control", "volts": 24})
    assert STRIP in rules(answer[part])
    assert {one["asks"] for one in answer["unproven"]} == {"/proposal/connector"}


SLEEVE = {"connector": "direct-burial-set-screw-2-port"}
UNLIKE = {"joint": {"conductors": [{"size": of, "construction": "stranded"} for of in ("10 AWG", "2 AWG")]}}
TIGHTENED = "make-up/tighten-once-by-an-approved-means"


EACH = "listed: 140 lbf-in for 2 AWG copper, 75 lbf-in for 10 AWG copper"


@pytest.mark.parametrize(
    ("torque", "part", "here"),
    [
        (140, "confirmed", "140 lbf-in; "),
        (75, "unproven", "75 lbf-in; "),
        (100, "violations", "100 lbf-in; "),
    ],
)
def test_one_torque_is_taken_for_the_largest_where_each_conductor_has_its_own(
    torque: int, part: str, here: str
) -> None:
    answer = checked({**SLEEVE, "torque": {"value": torque, "unit": "lbf-in"}}, **UNLIKE)
    (point,) = [one for one in answer[part] if one["rule"] == TIGHTENED]
    assert f"Here: {here}{EACH}" in point["says"]


def test_one_nut_for_all_conductors_has_the_torque_of_the_largest() -> None:
    answer = checked({"connector": "split-bolt-spacer-medium", "torque": {"value": 1, "unit": "N-m"}}, **UNLIKE)
    (point,) = [one for one in answer["violations"] if one["rule"] == TIGHTENED]
    assert "is listed" in point["says"]
