from __future__ import annotations

import functools
import itertools
import random
from collections.abc import Iterator

import pytest

from splicewright.engine import Engine, Finding
from splicewright.question.model import Question
from splicewright.rulebook.model import FactValue, ListingTest, Pattern, Rule, Rulebook
from tests.engine.made import condition, conductor, question, rule, rulebook, single
from tests.oracle.questions import random_question
from tests.oracle.rulebooks import random_rulebook

COPPER = {"size": "12 AWG", "material": "copper"}
ALUMINUM = {"size": "8 AWG", "material": "aluminum"}


def derived(asked: Question, *rules: Rule) -> tuple[Finding, ...]:
    engine = Engine(rulebook(*rules))
    found = engine.derive(asked).findings
    engine.close()
    return found


def rests_on(asked: Question, *when: Pattern) -> tuple[str, ...]:
    (finding,) = derived(asked, rule(*when))
    return finding.rests_on


# --- what a finding rests on ------------------------------------------------------------------------------------------


def test_a_finding_rests_on_the_facts_tested_in_sorted_order() -> None:
    asked = question(place={"exposure": "buried", "hazardous": True, "corrosion": ["chemical"]})
    when = single(place__exposure="buried", place__corrosion="chemical", place__hazardous=True)
    assert rests_on(asked, when) == ("place.corrosion: chemical", "place.exposure: buried", "place.hazardous: yes")


def test_several_patterns_on_single_facts_rest_on_all_their_facts() -> None:
    asked = question(place={"exposure": "buried"}, circuit={"volts": 240})
    when = single(place__exposure="buried"), single(circuit__volts=("above", 0))
    assert rests_on(asked, *when) == ("circuit.volts: 240 V", "place.exposure: buried")


def test_a_finding_rests_on_facts_as_the_question_has_them() -> None:
    asked = question(place={"exposure": "buried", "depth": {"value": 450, "unit": "mm"}})
    assert rests_on(asked, single(place__depth=("above", 0))) == ("place.depth: 450 mm",)


def test_a_measure_rests_on_itself_and_what_it_reads() -> None:
    asked = question(COPPER, ALUMINUM)
    expected = ("conductor.material: aluminum", "conductor.material: copper", "joint.metals: 2")
    assert rests_on(asked, single(joint__metals=2)) == expected


def test_a_measure_of_the_joint_gives_each_value_once() -> None:
    asked = question(COPPER, {**COPPER, "size": "10 AWG"})
    assert rests_on(asked, single(joint__metals=1)) == ("conductor.material: copper", "joint.metals: 1")


def test_what_a_measure_reads_is_left_out_where_it_has_no_value() -> None:
    asked = question({"size": "12 AWG", "cable": "NM"})
    expected = ("conductor.cable: NM", "conductor.insulation_stated: yes")
    assert rests_on(asked, conductor(insulation_stated=True)) == expected


def test_the_label_of_a_circuit_is_told_though_no_rule_can_test_it() -> None:
    asked = question({**COPPER, "circuit": "kitchen"}, {**COPPER, "circuit": "porch"})
    expected = (
        "conductor.circuit: kitchen",
        "conductor.circuit: porch",
        "conductor.role: ungrounded",
        "joint.circuits: 2",
    )
    assert rests_on(asked, single(joint__circuits=2)) == expected


def test_a_conductors_facts_are_those_of_the_one_that_matched() -> None:
    asked = question(COPPER, ALUMINUM)
    when = conductor(material="copper", size=("above", 0))
    assert rests_on(asked, when) == ("conductor.material: copper", "conductor.size: 12 AWG")


def test_a_conductors_measure_rests_on_that_conductor_and_on_single_facts() -> None:
    asked = question({**COPPER, "insulation": "THHN"}, {**ALUMINUM, "insulation": "THWN"}, circuit={"volts": 480})
    expected = (
        "circuit.volts: 480 V",
        "conductor.cable: none",
        "conductor.insulation: THHN",
        "conductor.material: copper",
        "conductor.volts_margin: 120 V",
    )
    assert rests_on(asked, conductor(material="copper", volts_margin=("above", 0))) == expected


def test_two_patterns_on_conductors_rest_on_the_facts_of_both() -> None:
    expected = ("conductor.material: aluminum", "conductor.material: copper", "conductor.size: 12 AWG")
    when = conductor(material="copper", size=("above", 0)), conductor(material="aluminum")
    assert rests_on(question(COPPER, ALUMINUM), *when) == expected


def test_a_condition_rests_on_every_rule_that_concluded_it() -> None:
    asked = question(place={"exposure": "wet", "site": "outdoors"})
    wet = rule(single(place__exposure="wet"), rule_id="place/wet", concludes=("place", "wet"))
    rain = rule(single(place__site="outdoors"), rule_id="place/rain", concludes=("place", "wet"))
    silent = rule(single(place__site="indoors"), rule_id="place/silent", concludes=("place", "wet"))
    seal = rule(condition(place="wet"), single(place__site="outdoors"), rule_id="seal/it")
    *_, found = derived(asked, wet, rain, silent, seal)
    assert (found.rule.id, found.rests_on) == ("seal/it", ("place.site: outdoors", "place/rain", "place/wet"))


def test_a_rule_that_always_holds_rests_on_nothing() -> None:
    (found,) = derived(question(), rule(rule_id="always/so", says="Always."))
    assert (found.says, found.rests_on, found.conductors) == ("Always.", (), ())


def test_what_a_rule_that_always_holds_concludes_can_be_tested() -> None:
    always = rule(rule_id="always/so", concludes=("code", "new"))
    test = rule(condition(code="new"), rule_id="then/so")
    assert [one.rests_on for one in derived(question(), always, test)] == [(), ("always/so",)]


# --- one finding for each rule and wording ----------------------------------------------------------------------------


def test_firings_that_say_the_same_are_one_finding_that_rests_on_all_their_facts() -> None:
    (found,) = derived(question(COPPER, ALUMINUM), rule(conductor(material=["copper", "aluminum"])))
    assert found.rests_on == ("conductor.material: aluminum", "conductor.material: copper")
    assert found.conductors == (0, 1)


def test_firings_that_say_different_things_are_findings_sorted_by_their_words() -> None:
    asked = question(COPPER, ALUMINUM, {**COPPER, "size": "10 AWG"})
    found = derived(asked, rule(conductor(material=["copper", "aluminum"]), says="Mind the {conductor.material}."))
    assert [(one.says, one.conductors) for one in found] == [("Mind the aluminum.", (0,)), ("Mind the copper.", (1, 2))]


def test_steps_that_are_done_differently_are_findings_of_their_own() -> None:
    step = rule(conductor(size=("above", 0)), kind="step", phase="strip", do="Strip the {conductor.size}.")
    found = derived(question(COPPER, ALUMINUM), step)
    assert [(one.do, one.says) for one in found] == [("Strip the 12 AWG.", step.says), ("Strip the 8 AWG.", step.says)]


def test_a_step_without_places_has_its_words_as_written() -> None:
    (found,) = derived(question(), rule(kind="step", phase="prove", do="Tug it."))
    assert found.do == "Tug it."


def test_what_is_no_step_has_nothing_to_do() -> None:
    (found,) = derived(question(), rule(single(joint__count=2)))
    assert found.do is None


def test_demands_with_different_values_are_findings_of_their_own() -> None:
    asks = (ListingTest("materials", "includes", (FactValue("conductor.material"),)),)
    found = derived(question(COPPER, ALUMINUM), rule(conductor(count=("above", 0)), kind="demand", tests=asks))
    assert [one.tests[0].values for one in found] == [("aluminum",), ("copper",)]


def test_a_demand_loses_only_the_tests_whose_fact_is_absent() -> None:
    asks = (
        ListingTest("volts", "at-least", (FactValue("circuit.volts"),)),
        ListingTest("sealed", "any-of", (True,)),
        ListingTest("degrees", "at-least", (FactValue("place.ambient"),)),
    )
    (found,) = derived(question(circuit={"kind": "irrigation"}), rule(kind="demand", tests=asks))
    assert found.tests == (asks[1], ListingTest("degrees", "at-least", (2700,)))


def test_a_demand_without_facts_keeps_its_tests() -> None:
    asks = (ListingTest("sealed", "any-of", (True,)),)
    (found,) = derived(question(), rule(single(joint__count=2), kind="demand", tests=asks))
    assert found.tests == asks


def test_findings_stand_in_the_order_of_rule_ids() -> None:
    ids = ["b/two", "a/one", "c/three", "b/one"]
    found = derived(question(), *(rule(single(joint__count=2), rule_id=rule_id) for rule_id in ids))
    assert [one.rule.id for one in found] == sorted(ids)


def test_rules_for_refuse_say_nothing() -> None:
    assert derived(question(), rule(kind="refuse", verdict="too-many")) == ()


@pytest.mark.parametrize("order", [(0, 1, 2), (2, 1, 0), (1, 2, 0)])
def test_findings_do_not_depend_on_the_order_of_conductors(order: tuple[int, ...]) -> None:
    given = [COPPER, ALUMINUM, {**COPPER, "size": "250 kcmil"}]
    made = rule(conductor(material="copper"), says="The {conductor.size}.", rule_id="a/b")
    steps = rule(single(joint__gauge_steps=("above", 3)), rule_id="c/d")
    found = derived(question(*(given[at] for at in order)), made, steps)
    assert [(one.says, one.rests_on) for one in found] == [
        ("The 12 AWG.", ("conductor.material: copper",)),
        ("The 250 kcmil.", ("conductor.material: copper",)),
        (
            "So it is.",
            ("conductor.size: 12 AWG", "conductor.size: 250 kcmil", "conductor.size: 8 AWG", "joint.gauge_steps: 16"),
        ),
    ]


# --- what is remembered -----------------------------------------------------------------------------------------------


def test_what_is_said_in_the_same_words_is_the_same_statement() -> None:
    engine = Engine(rulebook(rule(single(place__exposure="wet"), says="Of {place.site}.")))
    asked = [question(place={"exposure": "wet"}, work={"temporary": temporary}) for temporary in (True, False)]
    (first,), (second,) = [engine.derive(one).findings for one in asked]
    assert first.statement is second.statement


@functools.cache
def _told_anew() -> tuple[Rulebook, list[Question], list[list[tuple[Finding, tuple[str, ...]]]]]:
    """Give rules, questions, and what the rules find of each when nothing is remembered of another."""
    book, rng = random_rulebook(random.Random(11), 60), random.Random(12)
    asked = [random_question(rng) for _ in range(40)]
    return book, asked, [_all_of(Engine(book), one) for one in asked]


@pytest.mark.parametrize("bound", [0, 1, 5, 10_000])
def test_remembering_is_bounded_and_changes_no_finding(monkeypatch: pytest.MonkeyPatch, bound: int) -> None:
    book, asked, expected = _told_anew()
    monkeypatch.setattr("splicewright.engine.finding_set.REMEMBERED", bound)
    engine = Engine(book)
    told = [_all_of(engine, one) for one in (*asked, *asked)]
    assert told == [*expected, *expected]
    first, again = (
        {tuple([id(each.statement) for each in some]) for one in half for some in _by_rule(one)}
        for half in (told[:40], told[40:])
    )
    assert len(first & again) <= max(bound, 1)
    assert (first == again) is (bound > 5)


def test_a_rule_that_tells_another_fact_is_told_anew_where_that_differs() -> None:
    engine = Engine(rulebook(rule(single(place__exposure="wet"), says="At {circuit.volts}.")))
    asked = [random_question(random.Random(seed)) for seed in range(400)]
    wet = [one for one in asked if one.place.exposure == "wet"]
    for one in wet:
        (finding,) = engine.derive(one).findings
        expected = "not stated" if one.circuit.volts is None else f"{one.circuit.volts:g} V"
        assert finding.says == f"At {expected}."
    assert len({one.circuit.volts for one in wet}) > 3


def test_a_demand_is_told_anew_where_the_value_differs_that_it_takes() -> None:
    asks = (ListingTest("volts", "at-least", (FactValue("circuit.volts"),)),)
    engine = Engine(rulebook(rule(kind="demand", tests=asks)))
    found = [engine.derive(question(circuit={"volts": volts})).demands[0].tests[0].values for volts in (120, 240, 120)]
    assert found == [(1200,), (2400,), (1200,)]


def _by_rule(told: list[tuple[Finding, tuple[str, ...]]]) -> Iterator[list[Finding]]:
    """Give the findings of each rule that has words to be filled."""
    for _, some in itertools.groupby((one for one, _ in told if _is_filled(one.rule)), lambda one: one.rule.id):
        yield list(some)


def _is_filled(rule: Rule) -> bool:
    return any("{" in words for words in (rule.says, rule.effect.do or "")) or any(
        isinstance(value, FactValue) for test in rule.effect.tests for value in test.values
    )


def _all_of(engine: Engine, asked: Question) -> list[tuple[Finding, tuple[str, ...]]]:
    return [(finding, finding.rests_on) for finding in engine.derive(asked).findings]
