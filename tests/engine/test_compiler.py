from __future__ import annotations

import random
from typing import Any

import orjson
import pytest

from splicewright.engine.compiler import compile_rulebook
from splicewright.engine.faults import (
    MOST_CASES,
    MOST_CONDITIONS,
    MOST_FACTS,
    MOST_PATTERNS,
    MOST_RULES,
    QuestionTooLarge,
    RulebookTooLarge,
    UnfitRulebook,
)
from splicewright.engine.program import Choice, Program, Row, Sheet
from splicewright.question.facts import Facts
from splicewright.rulebook.model import Pattern, Rule
from tests.engine.made import asks, condition, conductor, rule, rulebook, single
from tests.oracle.rulebooks import random_rulebook


def compiled(*rules: Rule) -> Program:
    return compile_rulebook(rulebook(*rules))


def concluding(*words: str, key: str = "place") -> list[Rule]:
    return [rule(single(place__hazardous=True), concludes=(key, word)) for word in words]


def test_every_rule_is_one_pattern_over_one_fact() -> None:
    program = compile_rulebook(random_rulebook(random.Random(1), 200))
    definition = orjson.loads(program.definition)
    assert len(definition) > 100
    assert all(list(one) == ["all"] and len(one["all"]) == 1 for one in definition.values())


def test_no_rule_has_a_disjunction_an_absence_or_an_empty_list() -> None:
    program = compile_rulebook(random_rulebook(random.Random(2), 200))
    assert not any(word in program.definition for word in ("$or", "$nex", "$not", "$any", "[]", "{}"))


def test_only_whole_numbers_stand_in_a_definition() -> None:
    program = compile_rulebook(random_rulebook(random.Random(3), 200))

    def leaves(value: object) -> list[object]:
        if isinstance(value, dict):
            return [leaf for inner in value.values() for leaf in leaves(inner)]
        return [leaf for inner in value for leaf in leaves(inner)] if isinstance(value, list) else [value]

    assert {type(leaf) for leaf in leaves(orjson.loads(program.definition))} == {int}


def the_fact(program: Program, facts: Facts) -> str:
    """Give the one fact that is written for a question."""
    sheet = Sheet(program, facts)
    (row,), (choice,) = sheet.begin()
    return sheet.written(row, choice, "0000")


def test_a_fact_is_one_flat_object_of_short_names_and_whole_numbers() -> None:
    program = compiled(rule(single(place__exposure="wet", joint__count=("above", 2))))
    facts = Facts.of({"place.exposure": "wet", "joint.count": 4, "place.site": "indoors"}, ())
    assert the_fact(program, facts) == '{"id":"0000","sid":"0","c0":1,"b0":4,"a0":3}'


def test_what_is_absent_is_left_out_of_the_fact() -> None:
    program = compiled(rule(single(circuit__volts=("above", 0))))
    assert the_fact(program, Facts.of({})) == '{"id":"0000","sid":"0","b0":1}'


def test_a_fact_is_written_for_each_ordered_pair_of_conductors_where_rules_test_pairs() -> None:
    program = compiled(rule(conductor(material="copper"), conductor(material="aluminum")))
    _, choices = Sheet(program, Facts.of({}, ({}, {}, {}))).begin()
    assert [conductors for conductors, _ in choices] == [(0, 1), (0, 2), (1, 0), (1, 2), (2, 0), (2, 1)]


def test_rules_that_look_at_other_parts_of_a_question_are_put_to_other_facts() -> None:
    tests: list[dict[str, Any]] = [{"place__exposure": "wet"}, {"joint__count": 2}, {"joint__count": 3}]
    program = compiled(*(rule(single(**test)) for test in (*tests, {**tests[0], **tests[1]})))
    assert [kind.single.names for kind in program.kinds] == [
        ("place.exposure",),
        ("joint.count",),
        ("joint.count", "place.exposure"),
    ]


@pytest.mark.parametrize(
    ("one", "other", "alike"),
    [(1, 2, True), (2, 3, False), (3, 4, False), (4, 5, True), (None, 1, False)],
)
def test_facts_are_alike_where_every_comparison_says_the_same(one: int | None, other: int | None, alike: bool) -> None:
    program = compiled(rule(single(joint__count=("above", 3))), rule(single(joint__count=("below", 3))))

    def of(count: int | None) -> Row:
        facts = Facts.of({} if count is None else {"joint.count": count}, ())
        sheet = Sheet(program, facts)
        (row,), (choice,) = sheet.begin()
        return sheet.likeness(row, choice)

    assert (of(one) == of(other)) is alike


def test_a_fact_for_a_condition_is_written_once_when_all_its_conditions_hold() -> None:
    made = [*concluding("wet"), *concluding("hot", key="heat"), rule(condition(place="wet"), condition(heat="hot"))]
    program = compiled(*made)
    sheet = Sheet(program, Facts.of({}, ()))
    places = [plan.concludes for plan in program.plans.values() if plan.concludes is not None]

    def made(place: int) -> int:
        rows: list[Row] = []
        choices: list[Choice] = []
        sheet.conclude([place], rows, choices)
        assert len(choices) == len(rows)
        return len(rows)

    assert [made(place) for place in [places[0], places[0], places[1], places[1]]] == [0, 0, 1, 0]


def test_a_condition_that_nothing_tests_is_not_asserted() -> None:
    program = compiled(*concluding("wet"))
    assert [plan.concludes for plan in program.plans.values()] == [None]


def test_a_rule_that_waits_for_what_nothing_concludes_is_left_out() -> None:
    assert len(compiled(*concluding("wet"), rule(condition(place="dry"))).plans) == 1


def test_a_rule_for_refuse_is_left_out() -> None:
    assert compiled(rule(kind="refuse", verdict="too-many"), rule(single(joint__count=2), kind="refuse")).plans == {}


def test_a_rule_that_always_holds_needs_no_pattern() -> None:
    program = compiled(rule(rule_id="made/always"))
    assert program.plans == {}
    assert [one.id for one in program.always] == ["made/always"]


def test_several_patterns_on_one_condition_must_be_met_by_different_words() -> None:
    made = [*concluding("wet", "deep"), rule(condition(place=["wet", "deep"]), condition(place=["wet"]))]
    program = compiled(*made)
    assert {case.conditions for cases in program.follows for case in cases} == {(("place", "deep"), ("place", "wet"))}


def test_a_pattern_of_two_conditions_is_met_by_none() -> None:
    made = [*concluding("wet"), *concluding("hot", key="heat"), rule(condition(place="wet", heat="hot"))]
    assert len(compiled(*made).plans) == 2


# --- limits ---------------------------------------------------------------------------------------------------------


def refusal(*rules: Rule) -> str:
    with pytest.raises(RulebookTooLarge) as refused:
        compiled(*rules)
    return str(refused.value)


def test_too_many_rules_are_refused() -> None:
    made = [rule(rule_id=f"made/r{at:05}") for at in range(MOST_RULES + 1)]
    assert refusal(*made) == "made/r04000: is one of more than 4000 rules; leave some out"
    compiled(*made[:-1])


def test_too_many_conditions_are_refused() -> None:
    made = [rule(rule_id=f"made/r{at:05}", concludes=("place", f"w{at}")) for at in range(MOST_CONDITIONS + 1)]
    assert refusal(*made) == "made/r01000: concludes one of more than 1000 conditions; share some"
    compiled(*made[:-1])


def test_too_many_patterns_in_a_rule_are_refused() -> None:
    patterns = [single(joint__count=("above", at)) for at in range(MOST_PATTERNS + 1)]
    says = "made/wide: 17 patterns; write at most 16, or conclude a condition from some"
    assert refusal(rule(*patterns, rule_id="made/wide")) == says
    compiled(rule(*patterns[:-1]))


def test_too_many_patterns_on_conductors_are_refused() -> None:
    says = "made/three: 3 patterns on conductors; write at most 2, or a measure"
    assert refusal(rule(*[conductor(material="copper")] * 3, rule_id="made/three")) == says


def test_too_many_ways_to_meet_conditions_are_refused() -> None:
    words = [f"w{at}" for at in range(33)]
    wide = rule(condition(place=words), condition(place=words), rule_id="made/wide")
    says = "made/wide: its conditions can be met in too many ways; conclude one condition from some of them"
    assert refusal(*concluding(*words), wide) == says
    few = [f"w{at}" for at in range(MOST_CASES // 40)]
    compiled(*concluding(*few), rule(condition(place=few), condition(place=few[:20])))


def test_too_many_ways_that_several_rules_can_be_met_are_refused() -> None:
    words = [f"w{at}" for at in range(60)]
    halves = [rule(condition(place=words[:30]), condition(place=words[30:]), rule_id="made/first")]
    halves.append(rule(condition(place=words[30:]), condition(place=words[:30]), rule_id="made/second"))
    assert refusal(*concluding(*words), *halves).startswith("made/second: its conditions can be met")


def test_too_many_different_comparisons_of_one_kind_of_fact_are_refused() -> None:
    made = [rule(single(joint__count=[at, at + 1]), rule_id=f"made/r{at:03}") for at in range(250)]
    assert "different comparisons, over 250; let lists be alike" in refusal(*made)
    compiled(*made[:200])


def test_an_unfit_condition_test_is_refused() -> None:
    for test in (asks("condition.place", "other-than", ("wet",)), asks("place.exposure", "any-of", ("wet",))):
        with pytest.raises(UnfitRulebook, match="cannot be tested by") as refused:
            compiled(*concluding("wet"), rule(Pattern("condition", (test,)), rule_id="made/odd"))
        assert refused.value.rule == "made/odd"


@pytest.mark.parametrize(
    "pattern",
    [
        Pattern("single", (asks("conductor.material", "any-of", ("copper",)),)),
        Pattern("conductor", (asks("place.exposure", "any-of", ("wet",)),)),
    ],
)
def test_a_test_in_a_pattern_on_another_kind_of_fact_is_refused(pattern: Pattern) -> None:
    with pytest.raises(UnfitRulebook, match="is of another kind of fact; write it in its own pattern"):
        compiled(rule(pattern))


def test_a_question_with_too_many_facts_is_refused() -> None:
    program = compiled(rule(conductor(material="copper"), conductor(material="aluminum")))
    with pytest.raises(QuestionTooLarge, match="too many different ones"):
        Sheet(program, Facts.of({}, ({},) * (int(MOST_FACTS**0.5) + 2))).begin()
