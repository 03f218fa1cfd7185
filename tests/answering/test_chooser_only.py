"""An answer that is narrowed to some connectors and methods offers those of the whole answer that are carried."""

from __future__ import annotations

import random
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from splicewright.answering import choose, shipped_chooser
from splicewright.question.vocabulary import METHODS
from splicewright.refusals import Refused
from tests.choice.likely import likely_given

Plain = dict[str, Any]
TWO: Plain = {"joint": {"conductors": [{"size": "12 AWG", "count": 2, "insulation": "THHN"}]}, "limit": 100}
#: Too many for any connector; a split would do.
MANY: Plain = {"joint": {"conductors": [{"size": "12 AWG", "count": 24, "insulation": "THHN"}]}, "limit": 100}
CONNECTORS = {one.id: one.method for one in shipped_chooser().catalogue("shop").connectors}
LEVERS = [connector for connector, method in CONNECTORS.items() if method == "lever"]


def named(answer: Plain, part: str) -> list[str]:
    return [one["connector"] for one in answer[part]]


@pytest.mark.parametrize(
    ("only", "carried"),
    [
        ({"methods": ["lever", "push-in"]}, {one for one in CONNECTORS if CONNECTORS[one] in ("lever", "push-in")}),
        ({"connectors": ["lever-2-port", "push-in-2-port"]}, {"lever-2-port", "push-in-2-port"}),
        ({"connectors": ["lever-2-port", "push-in-2-port"], "methods": ["lever"]}, {"lever-2-port"}),
        ({"connectors": ["lever-2-port"], "methods": ["push-in"]}, set()),
        ({"connectors": [], "methods": ["lever"]}, set(LEVERS)),
        ({"connectors": ["lever-2-port"], "methods": []}, {"lever-2-port"}),
        ({"connectors": [], "methods": []}, set(CONNECTORS)),
        ({}, set(CONNECTORS)),
    ],
)  # fmt: skip
def test_both_keys_narrow_and_one_without_entries_does_not(only: Plain, carried: set[str]) -> None:
    answer = choose({**TWO, "only": only})
    assert {*named(answer, "options"), *named(answer, "refusals")} == carried
    left_out = len(CONNECTORS) - len(carried)
    assert answer["counts"].get("not_carried") == (left_out or None)
    assert answer["counts"]["options"] + answer["counts"]["refused"] == len(carried)
    assert answer["outcome"] == ("options" if carried else "no-connector")


def test_question_that_narrows_nothing_has_the_same_answer_as_one_that_does_not_say() -> None:
    assert choose({**TWO, "only": {"connectors": [], "methods": []}}) == choose(TWO)


@pytest.mark.parametrize(
    ("name", "nearest"), [("lever-2-prt", "lever-2-port"), ("twist-on-mediun", "twist-on-medium"), ("", None)]
)
def test_connector_that_the_catalogue_does_not_have_is_refused_with_the_nearest(name: str, nearest: str | None) -> None:
    with pytest.raises(Refused) as caught:
        choose({**TWO, "only": {"connectors": ["lever-2-port", name]}})
    (problem,) = caught.value.problems
    assert problem.pointer == "/only/connectors/1"
    assert nearest is None or f"did you mean '{nearest}'?" in problem.says


def test_each_that_the_catalogue_does_not_have_is_told_where_it_was_sent() -> None:
    sent = ["zz", "lever-2-port", "b", "lever-3-port", "a"]
    with pytest.raises(Refused) as caught:
        choose({**TWO, "only": {"connectors": sent}})
    wrong = {problem.pointer: problem.says for problem in caught.value.problems}
    assert {at: says.split('"')[1] for at, says in wrong.items()} == {
        f"/only/connectors/{sent.index(one)}": one for one in ("zz", "b", "a")
    }


def test_in_which_order_they_were_sent_decides_nothing() -> None:
    both = ["lever-2-port", "lever-3-port"]
    one, other = (choose({**TWO, "only": {"connectors": sent}}) for sent in (both, both[::-1]))
    assert one == other


def test_method_that_is_none_is_refused_with_the_nearest() -> None:
    with pytest.raises(Refused) as caught:
        choose({**TWO, "only": {"methods": ["lever", "push-inn"]}})
    (problem,) = caught.value.problems
    assert problem.pointer == "/only/methods/1"
    assert "did you mean 'push-in'?" in problem.says


# --- remedies ----------------------------------------------------------------------------


def test_no_connector_is_asked_for_where_one_that_is_narrowed_away_would_do() -> None:
    narrowed = {"methods": ["ground-crimp"]}
    assert choose(TWO)["outcome"] == "options"
    answer = choose({**TWO, "only": narrowed})
    assert answer["outcome"] == "no-connector"
    assert [one for one in answer["remedies"] if one["kind"] == "connector"] == []


def test_connector_is_asked_for_where_none_of_the_catalogue_would_do_narrowed_or_not() -> None:
    question = {"joint": {"conductors": [{"size": "750 kcmil", "material": "copper-clad-aluminum", "count": 2}]}}
    whole, narrowed = choose(question), choose({**question, "only": {"methods": ["lever", "bolted-lug"]}})
    assert {whole["outcome"], narrowed["outcome"]} == {"no-connector"}
    assert [one["kind"] for one in whole["remedies"]] == ["connector"]
    assert [one["kind"] for one in narrowed["remedies"]] == ["connector"]


@pytest.mark.parametrize(
    ("question", "only"),
    [
        ({**TWO, "place": {"enclosure": "raceway"}}, {"connectors": ["lever-2-port", "twist-on-medium"]}),
        ({**TWO, "place": {"enclosure": "raceway"}}, {"methods": ["twist-on"]}),
        (MANY, {"methods": ["lever"]}),
    ],
)
def test_remedies_of_a_narrowed_question_keep_to_what_is_carried(question: Plain, only: Plain) -> None:
    answer = choose({**question, "only": only})
    assert answer["outcome"] in ("barred", "no-connector")
    assert answer["remedies"]
    for remedy in answer["remedies"]:
        for told, asked in zip(
            remedy.get("joints", [remedy]), remedy.get("questions", [remedy.get("question")]), strict=True
        ):
            assert {key: names for key, names in asked["only"].items() if names} == only
            assert choose(asked)["options"][0]["connector"] == told["best"]["connector"]
            assert told["best"]["connector"] in only.get("connectors", CONNECTORS)
            assert told["best"]["method"] in only.get("methods", METHODS)
            assert not any(one["path"].startswith("/only") for one in told["patch"])


# --- any question ------------------------------------------------------------------------

narrowings = st.fixed_dictionaries(
    {},
    optional={
        "connectors": st.lists(st.sampled_from(sorted(CONNECTORS)), max_size=30),
        "methods": st.lists(st.sampled_from(sorted(METHODS)), unique=True, max_size=4),
    },
)


@settings(max_examples=60, deadline=None)
@given(st.integers(0, 2**32), narrowings)
def test_options_are_those_of_the_whole_answer_that_are_carried_in_the_same_order(seed: int, only: Plain) -> None:
    question = {**likely_given(random.Random(seed)), "limit": 100}
    whole, narrowed = choose(question), choose({**question, "only": only})
    carried = {
        connector
        for connector, method in CONNECTORS.items()
        if connector in (only.get("connectors") or CONNECTORS) and method in (only.get("methods") or METHODS)
    }
    if whole["outcome"] in ("barred", "refer"):
        assert narrowed["outcome"] == whole["outcome"]
    assert named(narrowed, "options") == [one for one in named(whole, "options") if one in carried]
    refused = [one for one in whole["refusals"] if one["connector"] in carried]
    assert narrowed["refusals"] == refused
    assert narrowed["counts"].get("not_carried", 0) == len(CONNECTORS) - len(carried)
    for part in ("bars", "method_bars", "findings", "demands", "referrals", "cautions", "judged"):
        assert narrowed[part] == whole[part]
