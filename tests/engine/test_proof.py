from __future__ import annotations

import pytest

from splicewright.engine import proof
from splicewright.engine.proof import Given, Grounds, Lines
from splicewright.question.facts import facts_of
from splicewright.question.model import Question
from tests.engine.made import conductor, question, rule, single


def given(asked: Question) -> Given:
    return Given(asked, facts_of(asked))


def test_a_line_is_printed_once_a_question(monkeypatch: pytest.MonkeyPatch) -> None:
    lines = given(question(place={"depth": {"value": 24, "unit": "in"}})).single
    assert lines["place.depth"] == "place.depth: 24 in"
    monkeypatch.setattr(proof, "printed", None)
    assert lines["place.depth"] == "place.depth: 24 in"


def test_values_that_look_alike_in_every_question_are_printed_once_a_process(monkeypatch: pytest.MonkeyPatch) -> None:
    assert given(question(circuit={"volts": 347})).single.text("circuit.volts") == "347 V"
    monkeypatch.setattr(proof, "printed", None)
    assert given(question(circuit={"volts": 347})).single.text("circuit.volts") == "347 V"


def test_no_more_lines_are_remembered_than_so_many(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(proof, "_lines", {})
    monkeypatch.setattr(proof, "_REMEMBERED", 1)
    lines = given(question(circuit={"volts": 347, "amps": 7})).single
    assert [lines.text(name) for name in ("circuit.volts", "circuit.amps")] == ["347 V", "7 A"]
    assert len(proof._lines) == 1


def test_lengths_are_printed_in_the_unit_of_their_own_question() -> None:
    depths = [{"value": 254, "unit": "mm"}, {"value": 10, "unit": "in"}]
    texts = [given(question(place={"depth": depth})).single.text("place.depth") for depth in depths]
    assert texts == ["254 mm", "10 in"]


def test_an_absent_fact_has_an_empty_line() -> None:
    asked = given(question(circuit={"kind": "irrigation"}))
    assert asked.single["circuit.volts"] == ""
    assert asked.conductors[0]["conductor.insulation"] == ""
    assert asked.single["no.fact"] == ""


def test_true_is_not_printed_as_the_number_1() -> None:
    asked = question(place={"hazardous": True})
    lines = Lines(asked, {"joint.count": 1, "place.hazardous": True}, None)
    assert [lines.text("joint.count"), lines.text("place.hazardous")] == ["1", "yes"]


def test_grounds_are_the_facts_tested_and_what_their_measures_read() -> None:
    made = rule(
        single(joint__metals=2, place__exposure="wet"),
        conductor(material="copper", volts_margin=("above", 0)),
        conductor(count=1),
    )
    assert Grounds.of(made) == Grounds(
        single=("circuit.volts", "joint.metals", "place.exposure"),
        every=("conductor.material",),
        matched=(
            ("conductor.cable", "conductor.insulation", "conductor.material", "conductor.volts_margin"),
            ("conductor.count",),
        ),
    )


def test_the_grounds_single_facts_stand_as_their_lines_are_sorted() -> None:
    made = rule(single(place__depth=("above", 0), place__depth_stated=True, place__cover="general"))
    lines = [f"{name}: " for name in Grounds.of(made).single]
    assert lines == sorted(lines)
