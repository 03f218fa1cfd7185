from __future__ import annotations

from splicewright.engine.finding_templates import Provenance
from splicewright.question.facts import Facts, facts_of
from splicewright.question.model import Question
from tests.engine.made import conductor, question, rule, single


def given(asked: Question) -> Facts:
    return facts_of(asked)


def test_lengths_are_printed_in_the_unit_of_their_own_question() -> None:
    depths = [{"value": 254, "unit": "mm"}, {"value": 10, "unit": "in"}]
    texts = [given(question(place={"depth": depth})).text("place.depth") for depth in depths]
    assert texts == ["254 mm", "10 in"]


def test_an_absent_fact_has_no_text() -> None:
    asked = given(question(circuit={"kind": "irrigation"}))
    assert asked.text("circuit.volts") == ""
    assert asked.text("conductor.insulation", 0) == ""
    assert asked.text("no.fact") == ""


def test_each_conductor_has_lines_of_its_own() -> None:
    asked = given(question({"size": "10 AWG"}, {"size": "12 AWG"}))
    assert [asked.text("conductor.size", at) for at in (0, 1)] == ["10 AWG", "12 AWG"]


def test_true_is_not_printed_as_the_number_1() -> None:
    asked = given(question({"size": "12 AWG"}, place={"hazardous": True}))
    assert [asked.text("joint.count"), asked.text("place.hazardous")] == ["1", "yes"]


def test_provenance_is_the_facts_tested_and_what_their_measures_read() -> None:
    made = rule(
        single(joint__metals=2, place__exposure="wet"),
        conductor(material="copper", volts_margin=("above", 0)),
        conductor(count=1),
    )
    assert Provenance.of(made) == Provenance(
        single=("circuit.volts", "joint.metals", "place.exposure"),
        every=("conductor.material",),
        matched=(
            ("conductor.cable", "conductor.insulation", "conductor.material", "conductor.volts_margin"),
            ("conductor.count",),
        ),
    )


def test_the_single_facts_stand_as_their_lines_are_sorted() -> None:
    made = rule(single(place__depth=("above", 0), place__depth_stated=True, place__cover="general"))
    lines = [f"{name}: " for name in Provenance.of(made).single]
    assert lines == sorted(lines)
