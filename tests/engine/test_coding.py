from __future__ import annotations

import itertools
from typing import Any

import pytest

from splicewright.engine.coding import WARM_UP, Coding, Comparison, base36, coded, distinct_names, name_hash
from splicewright.engine.faults import LARGEST_NUMBER, MOST_FACTS, UnfitRulebook
from splicewright.engine.program import ID_LENGTH
from splicewright.question.fact_kinds import Value, fact_kinds
from splicewright.rulebook.model import Operator
from tests.engine.made import asks


def coding() -> Coding:
    return Coding(distinct_names("ab"))


def written(made: Coding, name: str, value: Value) -> str:
    return dict(made.coded())[name][value]


def test_the_names_given_out_are_all_told_apart_by_the_library() -> None:
    names = [WARM_UP, "id", "sid", *itertools.islice(distinct_names("abcdefghijklmnopqrstuvwxyz"), 5000)]
    assert len({name_hash(name) for name in names}) == len(names)


def test_names_that_share_a_hash_are_passed_over(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("splicewright.engine.coding.name_hash", lambda name: name_hash(name.replace("b", "a")))
    assert list(itertools.islice(distinct_names("ab"), 3)) == ["a0", "a1", "a2"]


def test_the_ids_of_a_questions_facts_are_all_told_apart_by_the_library() -> None:
    ids = [WARM_UP, *(base36(number, ID_LENGTH) for number in range(MOST_FACTS))]
    assert len({name_hash(fact_id) for fact_id in ids}) == len(ids)


@pytest.mark.parametrize(("number", "text"), [(0, "00"), (35, "0z"), (36, "10"), (1295, "zz")])
def test_base36_has_a_fixed_width(number: int, text: str) -> None:
    assert base36(number, 2) == text


def test_base36_refuses_what_its_width_cannot_hold() -> None:
    with pytest.raises(ValueError, match="too large"):
        base36(1296, 2)


def test_a_word_is_its_place_among_the_words() -> None:
    made = coding()
    assert made.comparison("r", asks("place.exposure", "any-of", ("damp",))) == Comparison("a0", "$eq", 2)
    assert written(made, "place.exposure", "damp") == ',"a0":2'


def test_a_list_of_words_is_one_property_of_the_words_on_it() -> None:
    made = coding()
    assert made.comparison("r", asks("place.exposure", "any-of", ("damp", "wet"))) == Comparison("a0", "$eq", 1)
    assert [written(made, "place.exposure", word) for word in ("dry", "damp", "wet")] == ["", ',"a0":1', ',"a0":1']


def test_the_same_list_in_another_order_is_the_same_property() -> None:
    made = coding()
    first = made.comparison("r", asks("place.exposure", "any-of", ("damp", "wet")))
    assert made.comparison("r", asks("place.exposure", "any-of", ("wet", "damp"))) == first


def test_a_list_of_numbers_is_one_property_of_the_numbers_on_it() -> None:
    made = coding()
    made.comparison("r", asks("joint.count", "any-of", (2, 3)))
    assert [written(made, "joint.count", count) for count in (1, 2, 3)] == ["", ',"a0":1', ',"a0":1']


def test_a_fact_of_many_words_has_a_property_for_each_list_tested() -> None:
    made = coding()
    made.comparison("r", asks("place.corrosion", "any-of", ("chemical",)))
    made.comparison("r", asks("place.corrosion", "any-of", ("chemical", "salt-air")))
    assert written(made, "place.corrosion", ()) == ""
    assert written(made, "place.corrosion", ("salt-air",)) == ',"b0":1'
    assert written(made, "place.corrosion", ("salt-air", "chemical")) == ',"a0":1,"b0":1'


def test_a_fact_tested_both_ways_has_both_properties() -> None:
    made = coding()
    made.comparison("r", asks("place.exposure", "other-than", ("dry",)))
    made.comparison("r", asks("place.exposure", "any-of", ("damp", "wet")))
    assert written(made, "place.exposure", "wet") == ',"a0":3,"b0":1'


def test_a_fact_that_no_rule_tests_has_no_property() -> None:
    made = coding()
    made.comparison("r", asks("place.exposure", "any-of", ("damp",)))
    assert [name for name, _ in made.coded()] == ["place.exposure"]


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
    assert coding().comparison("r", asks("joint.count", operator, (5,))).plain() == comparison


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
        coding().comparison("place/wet", asks(name, operator, values))
    assert refused.value.rule == "place/wet"
    assert refused.value.says.endswith(says)
    assert str(refused.value) == f"place/wet: {refused.value.says}"


@pytest.mark.parametrize("value", [LARGEST_NUMBER, -LARGEST_NUMBER])
def test_the_largest_number_is_taken(value: int) -> None:
    assert coded(fact_kinds()["joint.count"], value) == value


@pytest.mark.parametrize(
    ("name", "value", "error"),
    [
        ("joint.count", 2.5, TypeError),
        ("joint.count", "2", TypeError),
        ("joint.count", 2**60, ValueError),
        ("place.exposure", "moist", ValueError),
        ("place.hazardous", "yes", TypeError),
        ("place.corrosion", "chemical", TypeError),
        ("place.corrosion", ("rust",), ValueError),
    ],
)
def test_a_value_of_another_kind_is_never_written(name: str, value: Any, error: type[Exception]) -> None:
    made = coding()
    made.comparison(
        "r", asks(name, "any-of", (fact_kinds()[name].words or {"joint.count": (2,)}.get(name, (True,)))[:1])
    )
    with pytest.raises(error, match=name):
        written(made, name, value)


def test_only_so_many_values_are_remembered(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("splicewright.engine.coding._REMEMBERED", 2)
    made = coding()
    made.comparison("r", asks("joint.count", "above", (2,)))
    fragments = dict(made.coded())["joint.count"]
    assert [fragments[count] for count in (3, 4, 5)] == [',"a0":3', ',"a0":4', ',"a0":5']
    assert len(fragments) == 2
