"""The plain evaluator means what the rule files mean."""

from __future__ import annotations

import pytest

from splicewright.question.fact_kinds import Value
from splicewright.question.facts import Facts
from splicewright.rulebook.model import Operator
from tests.engine.made import asks, condition, conductor, rule, single
from tests.oracle.plain import evaluate, holds

COPPER: dict[str, Value] = {"conductor.material": "copper"}
ALUMINUM: dict[str, Value] = {"conductor.material": "aluminum"}
OPERATORS: tuple[Operator, ...] = ("any-of", "at-least", "at-most", "above", "below", "other-than")


@pytest.mark.parametrize(
    ("operator", "true_of"),
    [
        ("any-of", [5]),
        ("at-least", [5, 6]),
        ("at-most", [4, 5]),
        ("above", [6]),
        ("below", [4]),
        ("other-than", [4, 6]),
    ],
)
def test_each_comparison_is_true_of_the_right_numbers(operator: Operator, true_of: list[int]) -> None:
    test = asks("joint.count", operator, (5,))
    assert [number for number in (4, 5, 6) if holds(test, {"joint.count": number})] == true_of


@pytest.mark.parametrize("operator", OPERATORS)
def test_every_comparison_with_an_absent_fact_is_false(operator: Operator) -> None:
    assert not holds(asks("joint.count", operator, (5,)), {})


def test_a_list_of_words_matches_when_it_includes_one() -> None:
    test = asks("place.corrosion", "any-of", ("salt-air", "chemical"))
    assert holds(test, {"place.corrosion": ("chemical", "fertilizer")})
    assert not holds(test, {"place.corrosion": ("fertilizer",)})


def test_one_conductor_never_fills_two_patterns() -> None:
    made = rule(conductor(material="copper"), conductor(material=["copper", "aluminum"]), rule_id="a/b")
    assert evaluate([made], Facts.of({}, (COPPER,))) == set()
    assert evaluate([made], Facts.of({}, (COPPER, ALUMINUM))) == {("a/b", (0, 1), ())}


def test_one_condition_never_fills_two_patterns() -> None:
    wet = rule(single(place__exposure="wet"), rule_id="a/wet", concludes=("place", "wet"))
    twice = rule(condition(place="wet"), condition(place=["wet", "deep"]), rule_id="a/twice")
    assert evaluate([wet, twice], Facts.of({"place.exposure": "wet"}, ())) == {("a/wet", (), ())}


def test_conclusions_are_followed_to_the_end() -> None:
    chain = [
        rule(condition(two="on"), rule_id="a/last", concludes=("three", "on")),
        rule(condition(one="on"), rule_id="a/middle", concludes=("two", "on")),
        rule(rule_id="a/first", concludes=("one", "on")),
    ]
    fired = evaluate(chain, Facts.of({}, ()))
    assert {rule_id for rule_id, _, _ in fired} == {"a/first", "a/middle", "a/last"}


def test_rules_for_refuse_never_fire() -> None:
    assert evaluate([rule(kind="refuse")], Facts.of({}, ())) == set()
