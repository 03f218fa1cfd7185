from __future__ import annotations

from dataclasses import replace

import pytest

from splicewright.engine.compiled_rulebook import CompiledRulebook
from splicewright.engine.fact_encoding import Comparison
from splicewright.engine.faults import (
    MOST_CHOICES,
    MOST_COMPARED,
    MOST_COMPARISONS,
    MOST_CONDITIONS,
    MOST_PATTERNS,
    MOST_RULES,
    RulebookTooLarge,
    UnfitRulebook,
)
from splicewright.engine.rule_groups import RuleGroups, RulePatterns, concluded, read_patterns
from splicewright.rulebook.model import Pattern, Rule
from tests.engine.made import asks, condition, conductor, rule, single


def read(*rules: Rule) -> list[RulePatterns]:
    return read_patterns(rules, concluded(rules))


def concluding(*words: str, key: str = "place") -> list[Rule]:
    return [rule(single(place__hazardous=True), concludes=(key, word)) for word in words]


# --- patterns ---------------------------------------------------------------------------------------------------------


def test_all_patterns_on_single_facts_are_one() -> None:
    (one,) = read(rule(single(joint__count=("above", 2)), single(joint__count=("below", 5), place__exposure="wet")))
    assert one.single == {
        (Comparison("joint.count", "$gt", 2),),
        (Comparison("joint.count", "$lt", 5),),
        (Comparison("place.exposure", "$eq", 3),),
    }


def test_each_pattern_on_conductors_is_one_of_its_own_in_the_order_of_the_rule() -> None:
    (one,) = read(rule(conductor(count=1), single(joint__count=2), conductor(count=("above", 2))))
    assert one.conductors == (
        {(Comparison("conductor.count", "$eq", 1),)},
        {(Comparison("conductor.count", "$gt", 2),)},
    )


def test_a_test_of_several_words_passes_by_any_of_them() -> None:
    (one,) = read(rule(single(place__exposure=["wet", "damp"])))
    assert one.single == {(Comparison("place.exposure", "$eq", 2), Comparison("place.exposure", "$eq", 3))}


def test_a_rule_without_conditions_has_one_choice_of_none() -> None:
    (one,) = read(rule(rule_id="made/always"))
    assert [choice.places for choice in one.choices] == [()]
    assert (one.single, one.conductors, one.concludes) == (frozenset(), (), None)


def test_each_word_that_a_condition_may_be_is_a_choice() -> None:
    *_, one = read(*concluding("wet", "deep", "dry"), rule(condition(place=["deep", "wet", "never"])))
    assert [(choice.firing.conditions, choice.needs) for choice in one.choices] == [
        ((("place", "wet"),), 0b01),
        ((("place", "deep"),), 0b10),
    ]


def test_several_patterns_on_one_condition_must_be_met_by_different_words() -> None:
    *_, one = read(*concluding("wet", "deep"), rule(condition(place=["wet", "deep"]), condition(place=["wet"])))
    assert [choice.firing.conditions for choice in one.choices] == [(("place", "deep"), ("place", "wet"))]


@pytest.mark.parametrize("pattern", [condition(place="dry"), condition(place="wet", heat="hot")])
def test_a_rule_that_waits_for_what_nothing_concludes_has_no_choice(pattern: Pattern) -> None:
    *_, one = read(*concluding("wet"), *concluding("hot", key="heat"), rule(pattern))
    assert one.choices == ()


def test_what_a_rule_concludes_is_known_by_its_place() -> None:
    assert [one.concludes for one in read(*concluding("wet", "deep", "wet"))] == [0, 1, 0]


# --- groups -----------------------------------------------------------------------------------------------------------


def test_rules_are_grouped_by_the_conductors_and_the_conditions_that_they_match_at_once() -> None:
    rules = [
        *concluding("wet", "deep"),
        rule(conductor(count=1), condition(place="wet")),
        rule(conductor(count=1), conductor(count=2), condition(place=["wet", "deep"])),
        rule(condition(place="wet"), condition(place="deep")),
        rule(condition(place="dry")),
    ]
    groups = RuleGroups.of(read(*rules), 2)
    assert groups == RuleGroups(
        of_joint=0b110011,
        of_conductor=0b000100,
        of_pair=0b001000,
        of_no_condition=0b000011,
        of_condition=(0b001100, 0b001000),
        of_conditions=0b010000,
    )


# --- limits -----------------------------------------------------------------------------------------------------------


def refusal(*rules: Rule) -> str:
    with pytest.raises(RulebookTooLarge) as refused:
        CompiledRulebook(rules)
    return str(refused.value)


def test_too_many_rules_are_refused() -> None:
    made = [rule(rule_id=f"made/r{at:05}") for at in range(MOST_RULES + 1)]
    assert refusal(*made) == "made/r04000: is one of more than 4000 rules; leave some out"
    CompiledRulebook(made[:-1])
    ours = replace(rule(rule_id="a-county/first"), amendment="a-county")
    assert refusal(ours, *made[:-1]).startswith("a-county/first: is one of more than 4000 rules")


def test_too_many_conditions_are_refused() -> None:
    made = [rule(rule_id=f"made/r{at:05}", concludes=("place", f"w{at}")) for at in range(MOST_CONDITIONS + 1)]
    assert refusal(*made) == "made/r01000: concludes one of more than 1000 conditions; share some"
    CompiledRulebook(made[:-1])


def test_too_many_patterns_in_a_rule_are_refused() -> None:
    patterns = [single(joint__count=("above", at)) for at in range(MOST_PATTERNS + 1)]
    says = "made/wide: 17 patterns; write at most 16, or conclude a condition from some"
    assert refusal(rule(*patterns, rule_id="made/wide")) == says
    read(rule(*patterns[:-1]))


def test_too_many_patterns_on_conductors_are_refused() -> None:
    says = "made/three: 3 patterns on conductors; write at most 2, or a measure"
    assert refusal(rule(*[conductor(material="copper")] * 3, rule_id="made/three")) == says


def test_too_many_comparisons_in_a_rule_are_refused() -> None:
    tests = tuple(asks("joint.count", "above", (at,)) for at in range(MOST_COMPARISONS + 1))
    says = "made/wide: 31 comparisons; write at most 30, or two rules"
    assert refusal(rule(Pattern("single", tests), rule_id="made/wide")) == says
    read(rule(Pattern("single", tests[:-1])))


def test_too_many_comparisons_with_one_fact_are_refused() -> None:
    made = [rule(single(joint__count=("above", at)), rule_id=f"made/r{at:05}") for at in range(MOST_COMPARED + 1)]
    says = "made/r01000: makes one of more than 1000 comparisons with joint.count; let limits be alike"
    assert refusal(*made) == says
    read(*made[:-1])


def test_too_many_ways_to_meet_conditions_are_refused() -> None:
    words = [f"w{at}" for at in range(33)]
    wide = rule(condition(place=words), condition(place=words), rule_id="made/wide")
    says = "made/wide: its conditions can be met in too many ways; conclude one condition from some of them"
    assert refusal(*concluding(*words), wide) == says
    few = [f"w{at}" for at in range(MOST_CHOICES // 40)]
    read(*concluding(*few), rule(condition(place=few), condition(place=few[:20])))


def test_an_unfit_condition_test_is_refused() -> None:
    for test in (asks("condition.place", "other-than", ("wet",)), asks("place.exposure", "any-of", ("wet",))):
        with pytest.raises(UnfitRulebook, match="cannot be tested by") as refused:
            read(*concluding("wet"), rule(Pattern("condition", (test,)), rule_id="made/odd"))
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
        read(rule(pattern))
