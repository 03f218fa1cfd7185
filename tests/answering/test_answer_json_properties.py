"""What holds for the answer to any question, however it was sent and however much of it was asked for."""

from __future__ import annotations

import random
from typing import Any

import orjson
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from splicewright.answering import choose, shipped_chooser
from splicewright.json_pointer import value_at
from splicewright.question.answer_vocabulary import INCLUDE
from splicewright.question.read import DEFAULTS
from tests.answering.included import reduced
from tests.as_sent import apart_from_as_sent
from tests.choice.invariants import shuffled
from tests.choice.likely import likely_given
from tests.remedies.patches import sent

Plain = dict[str, Any]
FINDINGS = ("referrals", "bars", "method_bars", "findings", "demands", "cautions")
INCLUDES = st.lists(st.sampled_from(sorted(INCLUDE)), unique=True)
SEEDS = st.integers(0, 2**32)
some = settings(max_examples=60, deadline=None)


def pointed(value: Any) -> list[str]:
    """Give every pointer to what something speaks of, at any depth; those of a patch are no such."""
    if isinstance(value, list):
        return [pointer for one in value for pointer in pointed(one)]
    if not isinstance(value, dict):
        return []
    inner = [
        pointer for key, one in value.items() if key not in ("at", "question", "questions") for pointer in pointed(one)
    ]
    return [*value.get("at", ()), *inner]


# --- at ----------------------------------------------------------------------------------


@some
@given(SEEDS)
def test_every_pointer_leads_to_a_leaf_that_was_sent_or_assumed(seed: int) -> None:
    rng = random.Random(seed)
    question = shuffled(likely_given(rng), rng)
    answer = choose(question)
    pointers = pointed(answer)
    assert pointers
    for pointer in pointers:
        leaf = value_at(question, pointer)
        assert leaf is not None or pointer in answer["assumed"], pointer
        assert not isinstance(leaf, dict) or "unit" in leaf, pointer


@some
@given(SEEDS)
def test_what_rests_on_a_condition_points_to_something_and_no_pointer_stands_twice(seed: int) -> None:
    answer = choose(likely_given(random.Random(seed)))
    for one in (one for part in FINDINGS for one in answer[part]):
        at = one.get("at", [])
        assert len(set(at)) == len(at)
        proved = {pointer for proof in one["from"] for pointer in proof.get("at", ())}
        assert proved <= set(at)
        assert bool(at) is bool(one["from"]), one["rule"]
        if all("fact" in proof for proof in one["from"]):
            assert proved == set(at)


@pytest.mark.parametrize("at", range(3))
def test_bar_on_one_conductor_points_to_that_one_wherever_it_stands(at: int) -> None:
    conductors: list[Plain] = [{"size": "12 AWG", "insulation": "THHN"}, {"size": "10 AWG", "insulation": "THHN"}]
    conductors.insert(at, {"size": "14 AWG", "insulation": "THHN", "condition": "burnt"})
    (bar,) = choose({"joint": {"conductors": conductors}})["bars"]
    assert bar["at"] == [f"/joint/conductors/{at}/condition"]


def test_like_conductors_are_all_pointed_to() -> None:
    burnt = {"size": "14 AWG", "insulation": "THHN", "condition": "burnt"}
    (bar,) = choose({"joint": {"conductors": [burnt, {"size": "12 AWG", "insulation": "THHN"}, burnt]}})["bars"]
    assert bar["at"] == [f"/joint/conductors/{at}/condition" for at in (0, 2)]


# --- the address -------------------------------------------------------------------------


@some
@given(SEEDS)
def test_one_address_means_the_same_answer_but_for_what_speaks_of_the_question_as_sent(seed: int) -> None:
    rng = random.Random(seed)
    question = likely_given(rng)
    first = choose(question)
    others = [
        {**shuffled(question, rng), "id": "b"},
        {**question, "code": DEFAULTS[""]["code"], **{key: question[key] for key in ("code",) if key in question}},
        {**question, "work": {**DEFAULTS["/work"], **question["work"]}, "limit": DEFAULTS[""]["limit"]},
    ]
    for other in others:
        answer = choose(other)
        assert answer["answer"] == first["answer"]
        assert orjson.dumps(apart_from_as_sent(answer)) == orjson.dumps(apart_from_as_sent(first))


@some
@given(SEEDS)
def test_what_is_to_be_told_and_kept_to_changes_the_address(seed: int) -> None:
    question = likely_given(random.Random(seed))
    said: list[Plain] = [
        {},
        {"limit": 4},
        {"explain": "brief"},
        {"include": ["rules"]},
        {"include": ["rules", "meets"]},
        {"only": {"methods": ["lever"]}},
        {"only": {"connectors": ["lever-2-port"]}},
    ]
    assert len({choose({**question, **one})["answer"] for one in said}) == len(said)


# --- include -----------------------------------------------------------------------------


@some
@given(SEEDS, INCLUDES)
def test_answer_has_the_parts_that_are_included_and_no_others(seed: int, include: list[str]) -> None:
    question = sent(random.Random(seed))
    full = choose({**question, "explain": "full", "include": []})
    answer = choose({**question, "explain": "brief", "include": include})
    assert answer == {**reduced(full, include), "answer": answer["answer"]}


@pytest.mark.parametrize("name", INCLUDE)
@pytest.mark.parametrize(
    "parts",
    [
        {"circuit": {"kind": "luminaire"}},
        {"place": {"enclosure": "raceway"}},
        {"circuit": {"kind": "service"}},
        {"joint": {"conductors": [{"size": "12 AWG", "count": 24}]}},
        {"joint": {"conductors": [{"size": "750 kcmil", "material": "copper-clad-aluminum", "count": 2}]}},
    ],
)
def test_each_name_adds_its_part_and_nothing_else(name: str, parts: Plain) -> None:
    question = {"joint": {"conductors": [{"size": "12 AWG", "count": 2}, {"size": "13 AWG"}]}, **parts}
    full, answer = choose({**question, "explain": "full", "include": []}), choose({**question, "include": [name]})
    assert answer == {**reduced(full, [name]), "answer": answer["answer"]}


@some
@given(SEEDS, INCLUDES)
def test_names_in_the_question_go_before_those_of_the_call(seed: int, include: list[str]) -> None:
    question = {**likely_given(random.Random(seed)), "include": include}
    assert choose(question) == shipped_chooser().choose(question, explain="full", include=["rules"])
