from __future__ import annotations

import itertools
from typing import Any

import pytest

from splicewright.engine.fact_encoding import (
    Comparison,
    base36,
    check_value,
    coded,
    comparisons_of,
    distinct_names,
    name_hash,
)
from splicewright.engine.faults import LARGEST_NUMBER, UnfitRulebook
from splicewright.engine.library import WARM_UP
from splicewright.question.fact_kinds import fact_kinds
from splicewright.rulebook.model import Operator
from tests.engine.made import asks


def test_the_names_given_out_are_all_told_apart_by_the_library() -> None:
    names = [WARM_UP, "id", "sid", *itertools.islice(distinct_names("abcdefgh", WARM_UP), 50_000)]
    assert len({name_hash(name) for name in names}) == len(names)


def test_names_that_share_a_hash_are_passed_over(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("splicewright.engine.fact_encoding.name_hash", lambda name: name_hash(name.replace("b", "a")))
    assert list(itertools.islice(distinct_names("ab"), 3)) == ["a0", "a1", "a2"]


def test_names_that_are_reserved_are_passed_over() -> None:
    assert list(itertools.islice(distinct_names("a", "a1"), 3)) == ["a0", "a2", "a3"]


@pytest.mark.parametrize(("number", "text"), [(0, "00"), (35, "0z"), (36, "10"), (1295, "zz")])
def test_base36_has_a_fixed_width(number: int, text: str) -> None:
    assert base36(number, 2) == text


def test_base36_refuses_what_its_width_cannot_hold() -> None:
    with pytest.raises(ValueError, match="too large"):
        base36(1296, 2)


def test_a_word_is_its_place_among_the_words() -> None:
    made = comparisons_of("r", asks("place.exposure", "any-of", ("damp",)))
    assert made == (Comparison("place.exposure", "$eq", 2),)


@pytest.mark.parametrize(
    ("name", "values", "codes"),
    [
        ("place.exposure", ("damp", "wet"), [2, 3]),
        ("joint.count", (5, 2), [5, 2]),
        ("place.hazardous", (True,), [1]),
        ("place.corrosion", ("salt-air", "chemical"), [1, 2]),
    ],
)
def test_a_list_of_values_is_a_comparison_with_each(name: str, values: tuple[Any, ...], codes: list[int]) -> None:
    words = fact_kinds()[name].words
    expected = [words.index(value) + 1 for value in values] if words else codes
    made = comparisons_of("r", asks(name, "any-of", values))
    assert made == tuple(Comparison(name, "$eq", code) for code in expected)


@pytest.mark.parametrize(
    ("operator", "comparison"),
    [
        ("at-least", {"$gte": {"a0": 5}}),
        ("at-most", {"$lte": {"a0": 5}}),
        ("above", {"$gt": {"a0": 5}}),
        ("below", {"$lt": {"a0": 5}}),
        ("other-than", {"$neq": {"a0": 5}}),
        ("any-of", {"a0": 5}),
    ],
)
def test_every_operator_has_its_word_in_the_library(operator: Operator, comparison: dict[str, Any]) -> None:
    (made,) = comparisons_of("r", asks("joint.count", operator, (5,)))
    assert made.written("a0") == comparison


@pytest.mark.parametrize(
    ("name", "operator", "values", "says"),
    [
        ("place.weather", "any-of", ("wet",), "place.weather is no fact; write one that the vocabulary has"),
        ("place.exposure", "any-of", (), "place.exposure is compared with nothing; write a value"),
        ("place.exposure", "any-of", ("moist",), "place.exposure is never 'moist'; write one of its words"),
        ("place.exposure", "any-of", (1,), "place.exposure is never 1; write one of its words"),
        ("place.exposure", "at-least", ("wet",), "place.exposure has no order; write the values meant"),
        ("place.hazardous", "above", (False,), "place.hazardous has no order; write the values meant"),
        ("place.hazardous", "any-of", (1,), "place.hazardous is not 1; write true or false"),
        ("place.corrosion", "other-than", ("chemical",), "is a list; write the words that it may include"),
        ("joint.count", "above", (2.5,), "joint.count is not 2.5; only whole numbers are compared"),
        ("joint.count", "above", (True,), "joint.count is not True; only whole numbers are compared"),
        ("joint.count", "above", ("2",), "joint.count is not '2'; only whole numbers are compared"),
        (
            "joint.count",
            "above",
            (2**53 + 1,),
            "joint.count is out of range at 9007199254740993; write a smaller number",
        ),
        ("joint.count", "above", (1, 2), "joint.count: above takes one value; write a list only for any of"),
    ],
)
def test_a_test_that_cannot_be_put_is_refused_with_its_rule(
    name: str, operator: Operator, values: tuple[Any, ...], says: str
) -> None:
    with pytest.raises(UnfitRulebook) as refused:
        comparisons_of("place/wet", asks(name, operator, values))
    assert refused.value.rule == "place/wet"
    assert refused.value.says.endswith(says)
    assert str(refused.value) == f"place/wet: {refused.value.says}"


@pytest.mark.parametrize("value", [LARGEST_NUMBER, -LARGEST_NUMBER])
def test_the_largest_number_is_taken(value: int) -> None:
    assert coded(fact_kinds()["joint.count"], value) == value


UNFIT: tuple[tuple[str, Any, type[Exception]], ...] = (
    ("joint.count", 2.5, TypeError),
    ("joint.count", "2", TypeError),
    ("joint.count", True, TypeError),
    ("joint.count", 2**60, ValueError),
    ("joint.count", LARGEST_NUMBER + 1, ValueError),
    ("joint.count", -LARGEST_NUMBER - 1, ValueError),
    ("place.exposure", "moist", ValueError),
    ("place.exposure", 1, ValueError),
    ("place.hazardous", "yes", TypeError),
    ("place.hazardous", 1, TypeError),
    ("place.corrosion", "chemical", TypeError),
    ("place.corrosion", "", TypeError),
    ("place.corrosion", ("rust",), ValueError),
)


@pytest.mark.parametrize(("name", "value", "error"), UNFIT)
def test_a_value_of_another_kind_is_told(name: str, value: Any, error: type[Exception]) -> None:
    with pytest.raises(error, match=name):
        check_value(fact_kinds()[name], value)


@pytest.mark.parametrize("value", [(), ("chemical",), ("chemical", "salt-air")])
def test_a_list_of_words_is_told_word_by_word(value: tuple[str, ...]) -> None:
    check_value(fact_kinds()["place.corrosion"], value)
