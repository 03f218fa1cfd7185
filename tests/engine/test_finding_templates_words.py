from __future__ import annotations

from typing import Any

import pytest

from splicewright.engine.finding_templates import FactReference, OpenTest, Template
from splicewright.engine.rule_groups import Firing
from splicewright.question.facts import facts_of
from splicewright.rulebook.model import FactValue, ListingTest
from tests.engine.made import question, rule

ASKED = question(
    {"size": "12 AWG", "material": "copper", "count": 2},
    {"size": "8 AWG", "material": "aluminum"},
    place={"exposure": "wet", "depth": {"value": 17.5, "unit": "in"}, "corrosion": ["salt-air", "chemical"]},
    circuit={"kind": "irrigation"},
)
GIVEN = facts_of(ASKED)
ALUMINUM, COPPER = 0, 1  # conductors stand largest first
FIRING = Firing(rule(), (COPPER, ALUMINUM), (("place", "wet"), ("heat", "hot")))


@pytest.mark.parametrize(
    ("words", "filled"),
    [
        ("Nothing to fill.", "Nothing to fill."),
        ("In a {place.exposure} place.", "In a wet place."),
        ("A cover of {place.depth}.", "A cover of 17.5 in."),
        ("Against {place.corrosion}.", "Against chemical and salt-air."),
        ("{joint.count} conductors, the largest {joint.largest}.", "3 conductors, the largest 8 AWG."),
        ("{place.hazardous}, {circuit.multiwire}.", "no, no."),
        ("A {conductor.size} end.", "A 12 AWG end."),
        ("{conductor.1.size} with {conductor.2.size}.", "12 AWG with 8 AWG."),
        ("{conductor.3.size}.", "not stated."),
        ("{condition.place}, {condition.heat}, {condition.use}.", "wet, hot, not stated."),
        ("{circuit.volts}, {conductor.insulation}.", "not stated, not stated."),
        ("{place.weather} {conductor.colour}.", "not stated not stated."),
        ("{twice} {Not.A.Place} {} {a}.", "{twice} {Not.A.Place} {} {a}."),
        ("{place.exposure}{place.exposure}", "wetwet"),
    ],
)
def test_places_are_filled_from_what_matched(words: str, filled: str) -> None:
    assert Template.read(words).filled(FIRING, GIVEN) == filled


@pytest.mark.parametrize(("words", "fixed"), [("As it is.", True), ("In a {place.exposure} place.", False)])
def test_words_without_places_are_fixed(words: str, fixed: bool) -> None:
    assert Template.read(words).fixed is fixed


def test_a_conductor_that_no_pattern_matched_is_not_stated() -> None:
    assert Template.read("{conductor.size}").filled(Firing(rule()), GIVEN) == "not stated"
    assert FactReference.read("conductor.size").coded(Firing(rule()), GIVEN) is None


@pytest.mark.parametrize(
    ("values", "filled"),
    [
        (("wet", True, 5), ("wet", True, 5)),
        ((FactValue("conductor.material"),), ("copper",)),
        ((FactValue("conductor.2.material"),), ("aluminum",)),
        ((FactValue("place.corrosion"),), ("chemical", "salt-air")),
        ((FactValue("joint.count"), 7), (3, 7)),
        ((FactValue("place.hazardous"),), (False,)),
    ],
)
def test_a_fact_in_a_test_is_replaced_by_its_coded_value(values: tuple[Any, ...], filled: tuple[Any, ...]) -> None:
    test = OpenTest.read(ListingTest("materials", "includes", values))
    assert test.filled(FIRING, GIVEN) == filled


@pytest.mark.parametrize("fact", ["circuit.volts", "conductor.insulation", "conductor.3.material"])
def test_a_test_of_an_absent_fact_is_left_out(fact: str) -> None:
    assert OpenTest.read(ListingTest("volts", "at-least", (FactValue(fact),))).filled(FIRING, GIVEN) is None
