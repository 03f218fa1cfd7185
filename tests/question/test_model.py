"""The question as a value: equal, canonical and independent of the order in which conductors were named."""

from __future__ import annotations

import json
import pickle

import pytest
from hypothesis import given
from hypothesis import strategies as st

from splicewright.question.model import as_plain
from splicewright.question.read import merged, read_question
from splicewright.units import Measured
from tests.question.asking import asked, question, questions


@given(questions)
def test_reading_a_canonical_question_again_gives_an_equal_question(value):
    once = read_question(value).question
    again = read_question(json.loads(once.canonical()))
    assert again.question == once
    assert again.question.canonical() == once.canonical()


@given(questions)
def test_a_canonical_question_leaves_nothing_to_assume_but_how_to_answer(value):
    once = read_question(value).question
    again = read_question(as_plain(once))
    assert set(again.assumed) == {"/explain", "/limit"}


@given(questions, st.randoms())
def test_the_order_of_conductors_changes_nothing(value, random):
    shuffled = list(value["joint"]["conductors"])
    random.shuffle(shuffled)
    one = read_question(value).question
    other = read_question({**value, "joint": {**value["joint"], "conductors": shuffled}}).question
    assert one == other
    assert hash(one) == hash(other)
    assert one.canonical() == other.canonical()


@given(questions)
def test_the_order_of_keys_changes_nothing(value):
    def turned(part):
        if isinstance(part, dict):
            return {key: turned(part[key]) for key in reversed(part)}
        return [turned(item) for item in part] if isinstance(part, list) else part

    assert read_question(turned(value)).question.canonical() == read_question(value).question.canonical()


@given(questions, questions)
def test_questions_are_equal_exactly_where_their_canonical_bytes_are(one, other):
    first, second = read_question(one).question, read_question(other).question
    assert (first == second) is (first.canonical() == second.canonical())


@given(questions)
def test_like_conductors_merged_or_named_one_by_one_are_the_same_question(value):
    spread = [
        {**conductor, "count": 1}
        for conductor in value["joint"]["conductors"]
        for _ in range(int(conductor.get("count", 1)))
    ]
    one = read_question(value).question
    assert read_question({**value, "joint": {**value["joint"], "conductors": spread}}).question == one


@given(questions)
def test_no_conductor_is_lost_or_made_by_merging(value):
    conductors = value["joint"]["conductors"]
    entries = read_question(value).question.joint.conductors
    assert sum(entry.count for entry in entries) == sum(conductor.get("count", 1) for conductor in conductors)


@given(questions)
def test_entries_stand_largest_first(value):
    sizes = [conductor.size for conductor in read_question(value).question.joint.conductors]
    assert sizes == sorted(sizes, reverse=True)


def test_like_conductors_become_one_entry():
    entries = question({"size": "12 AWG"}, {"size": "14 AWG"}, {"size": "12 AWG", "count": 2}).joint.conductors
    assert [(entry.size.text, entry.count) for entry in entries] == [("12 AWG", 3), ("14 AWG", 1)]


@pytest.mark.parametrize(
    ("key", "value"),
    [
        ("material", "aluminum"),
        ("finish", "tinned"),
        ("circuit", "B"),
        ("insulation", "THHN"),
        ("path", "through"),
    ],
)
def test_conductors_that_differ_in_one_word_stay_apart(key, value):
    assert len(question({"size": "12 AWG"}, {"size": "12 AWG", key: value}).joint.conductors) == 2


def test_metric_sizes_written_with_and_without_a_zero_are_one():
    assert len(question({"size": "2.5 mm2"}, {"size": "2.50 mm2"}).joint.conductors) == 1


def test_nothing_merges_to_nothing():
    assert merged([]) == ()


def test_numbers_written_with_and_without_a_decimal_make_the_same_bytes():
    one = question({"size": "12 AWG", "count": 2}, circuit={"volts": 240}, place={"depth": {"value": 18, "unit": "in"}})
    other = question(
        {"size": "12 AWG", "count": 2.0},
        circuit={"volts": 240.0},
        place={"depth": {"value": 18.0, "unit": "in"}},
    )
    assert one.canonical() == other.canonical()


def test_id_limit_and_explanation_are_no_part_of_the_canonical_bytes():
    one = asked(id="one", limit=1, explain="brief")
    other = asked(id="other", limit=2, explain="full")
    assert one.question.canonical() == other.question.canonical()


@pytest.mark.parametrize(
    "parts",
    [
        {"code": "nfpa70-2020"},
        {"catalogue": "van"},
        {"place": {"exposure": "wet"}},
        {"circuit": {"amps": 12}},
        {"work": {"temporary": True}},
    ],
)
def test_whatever_decides_an_answer_changes_the_canonical_bytes(parts):
    assert question(**parts).canonical() != question().canonical()


def test_what_was_not_stated_is_left_out_of_the_canonical_bytes():
    plain = json.loads(question(circuit={"kind": "class-2"}).canonical())
    assert {"volts", "amps", "overcurrent_amps"} & plain["circuit"].keys() == set()
    assert "depth" not in plain["place"]
    assert "insulation" not in plain["joint"]["conductors"][0]


def test_a_question_survives_a_trip_to_another_process():
    one = question({"size": "12 AWG", "insulation": ["THHN", "THWN"]}, place={"depth": {"value": 18, "unit": "in"}})
    copied = pickle.loads(pickle.dumps(one))
    assert (copied, copied.canonical()) == (one, one.canonical())


@pytest.mark.parametrize(
    ("value", "unit", "text"),
    [(24, "in", "24 in"), (30_000, "mm", "30000 mm"), (29_999.9, "mm", "29999.9 mm")],
)
def test_a_measured_value_is_printed_whole(value, unit, text):
    assert str(Measured(value, unit)) == text
