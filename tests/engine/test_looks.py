from __future__ import annotations

import random

import pytest

from splicewright.engine import Engine, findings, looks
from splicewright.engine.coding import Fragments
from splicewright.engine.looks import Look, Sights
from splicewright.question.fact_kinds import fact_kinds
from splicewright.question.facts import Share, share_places
from tests.engine.made import rule as made_rule
from tests.engine.made import rulebook, single
from tests.oracle.questions import random_question
from tests.oracle.rulebooks import random_rulebook

EXPOSURE = "place.exposure"


def look(*told: str) -> Look:
    coded = ((EXPOSURE, Fragments(fact_kinds()[EXPOSURE], "a0", {})),)
    return Look(share_places()[EXPOSURE], coded, told, ())


def share(exposure: str, **further: str) -> Share:
    facts = {EXPOSURE: exposure, **{f"place.{name}": value for name, value in further.items()}}
    return Share(facts, {name: f"{name}: {value}" for name, value in facts.items()})


def test_shares_that_look_the_same_have_one_number_and_others_another() -> None:
    one = look()
    numbers = [one.number(share(*each)) for each in (("wet",), ("wet",), ("dry",))]
    assert numbers[0] == numbers[1] != numbers[2]


def test_what_is_not_looked_at_makes_no_other_number() -> None:
    one = look()
    assert one.number(share("wet", site="indoors")) == one.number(share("wet", site="outdoors"))


def test_what_the_words_of_a_rule_tell_is_looked_at_too() -> None:
    one = look("place.site")
    assert one.number(share("wet", site="indoors")) != one.number(share("wet", site="outdoors"))


def test_facts_that_are_printed_otherwise_look_otherwise() -> None:
    one = look()
    facts = {EXPOSURE: "wet"}
    numbers = [one.number(Share(facts, {EXPOSURE: line})) for line in ("place.exposure: wet", "place.exposure: soaked")]
    assert numbers[0] != numbers[1]


def test_a_number_is_never_given_to_something_else(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(looks, "_MOST_NUMBERED", 2)
    one = look()
    words = fact_kinds()[EXPOSURE].words
    given: dict[int, str] = {}
    for word in (*words, *words, *reversed(words)):
        assert given.setdefault(one.number(share(word)), word) == word


def test_all_that_is_remembered_is_bounded_and_changes_no_finding(monkeypatch: pytest.MonkeyPatch) -> None:
    book = random_rulebook(random.Random(8), 60)
    asked = [random_question(random.Random(seed)) for seed in range(60)]
    expected = [Engine(book).derive(question) for question in asked]
    monkeypatch.setattr(looks, "_MOST_SEEN", 2)
    monkeypatch.setattr(looks, "_MOST_NUMBERED", 2)
    monkeypatch.setattr(findings, "_REMEMBERED", 5)
    monkeypatch.setattr(findings, "_REMEMBERED_ROWS", 3)
    monkeypatch.setattr(findings, "_REMEMBERED_CONDITIONS", 1)
    engine = Engine(book)
    found = [engine.derive(question) for question in (*asked, *asked)]
    assert found == [*expected, *expected]
    sayings, sights = engine._sayings, engine._program.single
    assert len(sayings._told) <= 5
    assert len(sayings._of_rows) <= 3
    assert len(sayings._of_conditions) <= 1
    assert max(len(seen) for _, _, seen in sights._by_place) <= 2
    assert [one.rests_on for each in found for one in each.findings] == [
        one.rests_on for each in (*expected, *expected) for one in each.findings
    ]


def test_sights_of_no_sides_see_nothing() -> None:
    assert Sights([]).of([]) == []


def test_a_rule_that_tells_a_fact_of_another_share_is_told_anew_where_that_differs() -> None:
    engine = Engine(rulebook(made_rule(single(place__exposure="wet"), says="At {circuit.volts}.")))
    asked = [random_question(random.Random(seed)) for seed in range(400)]
    wet = [one for one in asked if one.place.exposure == "wet"]
    for one in wet:
        (finding,) = engine.derive(one).findings
        expected = "not stated" if one.circuit.volts is None else f"{one.circuit.volts:g} V"
        assert finding.says == f"At {expected}."
    assert len({one.circuit.volts for one in wet}) > 3
