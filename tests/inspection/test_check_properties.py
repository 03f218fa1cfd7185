"""What holds for every check, on generated questions and proposals."""

from __future__ import annotations

import random
from typing import Any

import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from splicewright.answering import shipped_chooser
from splicewright.inspection import check_splice
from splicewright.json_pointer import value_at
from splicewright.question.vocabulary import METHODS, PROPOSED, SIGNS
from splicewright.refusals import Refused
from tests.as_sent import apart_from_as_sent
from tests.choice.invariants import shuffled
from tests.choice.likely import likely_given

CONNECTORS = [one.id for one in shipped_chooser().catalogue("shop").connectors]
BADNESS = {"sound": 0, "unproven": 1, "unsound": 2}
FIGURES = {"strip": (11, 12, 13, 16, 40), "torque": (9, 15, 70)}
UNITS = {"strip": "mm", "torque": "lbf-in"}
seeds = st.integers(0, 2**32)
flags = st.fixed_dictionaries(
    {}, optional={word: st.booleans() for word in PROPOSED if word not in ("strip", "torque")}
)
figures = st.fixed_dictionaries(
    {},
    optional={
        word: st.fixed_dictionaries({"value": st.sampled_from(values), "unit": st.just(UNITS[word])})
        for word, values in FIGURES.items()
    },
)
signs = st.lists(st.sampled_from(sorted(SIGNS)), unique=True, max_size=2)
named = st.one_of(
    st.sampled_from(CONNECTORS).map(lambda one: {"connector": one}),
    st.sampled_from(sorted(METHODS)).map(lambda one: {"method": one}),
)
proposals = st.builds(
    lambda *parts: {**parts[0], **parts[1], **parts[2], "signs": parts[3]}, named, flags, figures, signs
)
some = settings(max_examples=30, deadline=None, suppress_health_check=[HealthCheck.too_slow])


def question_of(seed: int) -> dict[str, Any]:
    return {**likely_given(random.Random(seed)), "limit": 100}


def with_options(seed: int) -> tuple[dict[str, Any], list[dict[str, Any]]]:
    """Give a question that has options, with them; most have none, which would be too many to draw and leave out."""
    rng = random.Random(seed)
    while True:
        question = {**likely_given(rng), "limit": 100}
        if offered := shipped_chooser().choose(question)["options"]:
            return question, offered


def all_said(answer_of: Any, proposal: dict[str, Any]) -> dict[str, Any]:
    """Say everything that a check asks, as it is wanted, until it asks for nothing more."""
    proposal = {**proposal, "signs": []}
    for _ in range(4):
        answer = answer_of(proposal)
        for one in answer["unproven"]:
            word = one.get("asks", "").rpartition("/")[2]
            if word in ("strip", "torque"):
                proposal[word] = {"value": 1, "unit": UNITS[word]}  # none is listed near it, so that it is told what is
            elif word in PROPOSED:
                proposal[word] = word != "reused"
        for violation in answer["violations"]:
            if "compared" in violation:
                proposal[violation["at"][0].rpartition("/")[2]] = violation["compared"]["wanted"]
    return proposal


@some
@given(seeds, proposals)
def test_nothing_is_sound_that_the_choice_does_not_offer(seed: int, proposal: dict[str, Any]) -> None:
    question = question_of(seed)
    proposal = all_said(lambda said: check_splice({**question, "proposal": said}), proposal)
    answer = check_splice({**question, "proposal": proposal})
    offered = shipped_chooser().choose(question)["options"]
    if answer["verdict"] == "sound":
        named = answer["proposed"].get("connector", answer["proposed"]["method"])
        assert named in {word for one in offered for word in (one["connector"], one["method"])}


@pytest.mark.slow
@some
@given(seeds)
def test_what_the_choice_offers_is_sound_once_all_that_is_asked_is_said(seed: int) -> None:
    question, offered = with_options(seed)
    connector = random.Random(seed).choice(offered)["connector"]
    proposal = all_said(lambda said: check_splice({**question, "proposal": said}), {"connector": connector})
    answer = check_splice({**question, "proposal": proposal})
    assert answer["violations"] == []
    assert [one for one in answer["unproven"] if "no figure is listed" not in one["says"]] == []


@pytest.mark.slow
@some
@given(seeds, st.integers(0, 100))
def test_sound_means_that_every_asked_step_was_said(seed: int, left_out: int) -> None:
    question, offered = with_options(seed)
    connector = offered[left_out % len(offered)]["connector"]
    proposal = all_said(lambda said: check_splice({**question, "proposal": said}), {"connector": connector})
    answer = check_splice({**question, "proposal": proposal})
    assume(answer["verdict"] == "sound")
    asked = {one["at"][0].rpartition("/")[2] for one in answer["confirmed"]} & set(PROPOSED)
    assert asked
    for word in asked:
        less = check_splice({**question, "proposal": {key: said for key, said in proposal.items() if key != word}})
        assert less["verdict"] == "unproven", word


@some
@given(seeds, proposals, st.sampled_from(sorted(SIGNS)))
def test_a_further_sign_never_makes_it_better(seed: int, proposal: dict[str, Any], sign: str) -> None:
    assume(sign not in proposal["signs"])
    question = question_of(seed)
    before = check_splice({**question, "proposal": proposal})["verdict"]
    after = check_splice({**question, "proposal": {**proposal, "signs": [*proposal["signs"], sign]}})["verdict"]
    assert BADNESS[after] >= BADNESS[before]


@some
@given(seeds, proposals)
def test_the_order_of_conductors_changes_nothing(seed: int, proposal: dict[str, Any]) -> None:
    question = {**question_of(seed), "proposal": proposal}
    other = shuffled(question, random.Random(seed))
    assert apart_from_as_sent(check_splice(other)) == apart_from_as_sent(check_splice(question))


@some
@given(seeds, proposals)
def test_every_point_leads_to_what_was_sent_or_assumed(seed: int, proposal: dict[str, Any]) -> None:
    question = {**shuffled(question_of(seed), random.Random(seed)), "proposal": proposal}
    answer = check_splice(question)
    for part in ("violations", "unproven", "confirmed", "cautions", "referrals"):
        for one in answer[part]:
            for pointer in one.get("at", ()):
                assert value_at(question, pointer) is not None or pointer in answer["assumed"], (one, pointer)


@some
@given(seeds, proposals)
def test_the_verdict_follows_from_what_is_told(seed: int, proposal: dict[str, Any]) -> None:
    answer = check_splice({**question_of(seed), "proposal": proposal})
    expected = "unsound" if answer["violations"] else "unproven" if answer["unproven"] else "sound"
    assert answer["verdict"] == expected
    words = {
        proof.get("fact")
        for part in ("violations", "unproven", "confirmed")
        for one in answer[part]
        for proof in one["from"]
    }
    left = {one["said"].partition(": ")[0] for one in answer["unjudged"]}
    said = {f"proposal.{word}" for word, told in proposal.items() if word in PROPOSED and told is not False}
    assert said <= words | left


json_values = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats(allow_nan=False) | st.text(max_size=8),
    lambda inner: (
        st.lists(inner, max_size=3)
        | st.dictionaries(
            st.sampled_from([*PROPOSED, "signs", "connector", "method", "value", "unit", "x"]), inner, max_size=4
        )
    ),
    max_leaves=12,
)


@settings(max_examples=200, deadline=None)
@given(json_values)
def test_whatever_is_proposed_is_answered_or_refused(proposal: Any) -> None:
    check = {"joint": {"conductors": [{"size": "12 AWG", "count": 2}]}, "proposal": proposal}
    try:
        answer = check_splice(check)
    except Refused as error:
        pointers = [problem.pointer for problem in error.problems]
    else:
        pointers = [] if answer["verdict"] in BADNESS else ["no verdict"]
    assert all(pointer.startswith("/proposal") for pointer in pointers)
