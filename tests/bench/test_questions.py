"""No two of the bench's questions are alike in all that the rules tell apart: an engine could remember none of them."""

from __future__ import annotations

import itertools
from typing import Any

import orjson
import pytest

from splicewright.question.read import read_question
from splicewright.rulebook import load_rulebook
from splicewright.units import whole
from tests.bench.patterns import Patterns
from tests.bench.questions import distinct, the_set
from tests.bench.rules import CODE
from tests.engine.made import rule, single

pytestmark = pytest.mark.slow

TWO: dict[str, Any] = {"joint": {"conductors": [{"size": "12 AWG"}, {"size": "14 AWG"}]}}


@pytest.fixture(scope="module")
def patterns() -> Patterns:
    return Patterns(load_rulebook(CODE).rules)


def alike(patterns: Patterns, one: dict[str, Any], other: dict[str, Any]) -> bool:
    return patterns.of(read_question(one).question) == patterns.of(read_question(other).question)


def test_no_two_questions_have_one_pattern(patterns: Patterns) -> None:
    asked = list(itertools.islice(distinct(3), 500))
    assert len({patterns.of(read_question(given).question) for given in asked}) == 500
    assert len({orjson.dumps(given["joint"]) for given in asked}) > 150
    assert len({orjson.dumps(given.get("place")) for given in asked}) > 100


def test_set_is_the_same_each_time_and_its_first_are_those_of_a_larger_one() -> None:
    assert the_set(20) == the_set(40)[:20]


@pytest.mark.parametrize(("one", "other", "same"), [(25, 30, True), (30, 30.1, False), (30.1, 90, True)])
def test_numbers_are_alike_within_an_interval(one: float, other: float, same: bool) -> None:
    at_most = Patterns([rule(single(circuit__overcurrent_amps=("at-most", whole(30, "A"))))])
    given = ({**TWO, "circuit": {"overcurrent_amps": value}} for value in (one, other))
    assert alike(at_most, *given) is same


def test_unsaid_is_not_like_a_number_and_words_that_no_rule_tests_are_alike() -> None:
    asked = Patterns([rule(single(circuit__overcurrent_amps=("at-most", whole(30, "A")), place__exposure="wet"))])
    assert not alike(asked, TWO, {**TWO, "circuit": {"overcurrent_amps": 20}})
    assert not alike(asked, TWO, {**TWO, "place": {"exposure": "wet"}})
    assert alike(asked, TWO, {**TWO, "place": {"exposure": "damp"}})
    assert alike(asked, TWO, {**TWO, "circuit": {"gfci": True}})


def test_conductors_are_alike_in_any_order_and_each_counts(patterns: Patterns) -> None:
    fourteen, twelve = {"size": "14 AWG"}, {"size": "12 AWG"}
    assert alike(patterns, TWO, {"joint": {"conductors": [fourteen, twelve]}})
    assert not alike(patterns, TWO, {"joint": {"conductors": [fourteen, twelve, {"size": "10 AWG"}]}})
    assert not alike(patterns, TWO, {"joint": {"conductors": [fourteen, {**twelve, "material": "aluminum"}]}})
