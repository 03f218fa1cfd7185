"""Claims about whole answers."""

from __future__ import annotations

import copy
import itertools
from typing import Any

import orjson
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import splicewright
from splicewright.answering import Chooser, choose, shipped_chooser
from splicewright.question.answer_vocabulary import INCLUDE
from splicewright.refusals import Refused
from tests.as_sent import apart_from_as_sent
from tests.bench.questions import the_set

LUMINAIRE: dict[str, Any] = {
    "joint": {
        "conductors": [
            {"size": "12 AWG", "count": 2, "insulation": "THHN"},
            {"size": "18 AWG", "construction": "fine-stranded", "insulation": "TFFN"},
        ]
    },
    "place": {"enclosure": "luminaire"},
    "circuit": {"kind": "luminaire"},
}
RACEWAY: dict[str, Any] = {
    "joint": {"conductors": [{"size": "12 AWG", "count": 2, "insulation": "THHN"}]},
    "place": {"enclosure": "raceway"},
}
KEYS = [
    "id", "answer", "outcome", "assumed", "judged", "counts", "referrals", "bars", "method_bars", "findings", "demands",
    "options", "refusals", "remedies", "cautions", "rules", "rulesets", "catalogue",
]  # fmt: skip


def test_answer_has_the_parts_of_the_contract_in_order() -> None:
    assert list(choose({"id": "x", **LUMINAIRE})) == KEYS


def test_package_itself_offers_the_same_call() -> None:
    assert splicewright.choose(LUMINAIRE) == choose(LUMINAIRE)


def test_every_connector_is_an_option_or_refused_with_a_reason() -> None:
    answer = choose({**LUMINAIRE, "limit": 100})
    told = [one["connector"] for one in answer["options"] + answer["refusals"]]
    assert sorted(told) == [connector.id for connector in shipped_chooser().catalogue("shop").connectors]
    assert all(refusal["because"] for refusal in answer["refusals"])


def test_limit_counts_what_it_leaves_out() -> None:
    everything = choose({**LUMINAIRE, "limit": 100})
    two = choose({**LUMINAIRE, "limit": 2})
    assert two["options"] == everything["options"][:2]
    assert two["counts"] == everything["counts"]
    assert two["counts"]["options"] == len(everything["options"])


def test_every_rule_that_an_answer_names_is_cited_with_its_source() -> None:
    answer = choose(LUMINAIRE)
    named = {one["rule"] for part in ("findings", "demands", "cautions") for one in answer[part]}
    named |= {reason["rule"] for refusal in answer["refusals"] for reason in refusal["because"]}
    named |= {one["rule"] for option in answer["options"] for one in option["meets"] + option["make_up"]}
    assert named <= set(answer["rules"])
    assert all(
        rule["source"]["kind"] == "common-practice" or rule["source"]["document"] for rule in answer["rules"].values()
    )


def test_brief_answer_has_what_a_list_needs_and_stays_under_2_kb() -> None:
    answer = choose({**LUMINAIRE, "explain": "brief"})
    assert not {"method_bars", "findings", "demands", "refusals", "rules"} & set(answer)
    for option in answer["options"]:
        assert {"connector", "name", "method", "rank", "fill", "strip"} <= set(option)
        assert not {"meets", "preferred", "make_up"} & set(option)
    assert len(orjson.dumps(answer)) < 2_000


def test_nineteen_of_twenty_brief_answers_stay_under_2_kb() -> None:
    chooser = Chooser(cache_bytes=0)
    sizes = [len(chooser.answer_json(question, explain="brief")) for question in the_set(1_000)]
    assert sum(size < 2_000 for size in sizes) >= 0.95 * len(sizes)


def test_name_of_what_to_include_that_is_none_is_refused_with_the_nearest() -> None:
    with pytest.raises(Refused) as caught:
        choose({**LUMINAIRE, "include": ["rules", "prooves"]})
    (problem,) = caught.value.problems
    assert problem.pointer == "/include/1"
    assert "did you mean 'proofs'?" in problem.says


def test_explain_names_sets_of_what_may_be_included() -> None:
    everything = choose({**LUMINAIRE, "include": list(INCLUDE)})
    assert everything == {**choose({**LUMINAIRE, "explain": "full"}), "assumed": everything["assumed"]}
    assert choose({**LUMINAIRE, "include": []}) == choose({**LUMINAIRE, "explain": "brief", "include": []})


def test_brief_and_full_answer_have_addresses_of_their_own_and_the_same_options() -> None:
    full, brief = choose(LUMINAIRE), choose({**LUMINAIRE, "explain": "brief"})
    assert full["answer"] != brief["answer"]
    assert [option["connector"] for option in full["options"]] == [option["connector"] for option in brief["options"]]


def test_default_written_out_gives_the_same_address() -> None:
    assert choose({**LUMINAIRE, "work": {"reopened": "rarely"}})["answer"] == choose(LUMINAIRE)["answer"]


def test_any_word_of_the_question_changes_the_address() -> None:
    assert choose({**LUMINAIRE, "work": {"reopened": "often"}})["answer"] != choose(LUMINAIRE)["answer"]


ENDS = [
    {"size": "12 AWG", "insulation": "THHN"},
    {"size": "12 AWG", "material": "aluminum", "insulation": "THHN"},
    {"size": "14 AWG", "construction": "stranded", "insulation": "THHN"},
    {"size": "12 AWG", "insulation": "THHN"},
]


@pytest.mark.parametrize("order", list(itertools.permutations(range(4))))
def test_order_of_conductors_changes_nothing_but_pointers(order: tuple[int, ...]) -> None:
    base = choose({"joint": {"conductors": ENDS}})
    shuffled = choose({"joint": {"conductors": [ENDS[at] for at in order]}})
    assert orjson.dumps(apart_from_as_sent(shuffled)) == orjson.dumps(apart_from_as_sent(base))


def test_counted_conductors_are_the_same_joint_as_single_ones() -> None:
    one = choose({"joint": {"conductors": [{"size": "12 AWG", "count": 3}]}})
    three = choose({"joint": {"conductors": [{"size": "12 AWG"}] * 3}})
    assert apart_from_as_sent(one) == apart_from_as_sent(three)


def test_asking_changes_neither_the_question_nor_the_next_answer() -> None:
    question = copy.deepcopy(RACEWAY)
    first = orjson.dumps(choose(question))
    choose(LUMINAIRE)
    assert question == RACEWAY
    assert orjson.dumps(choose(question)) == first


def test_remedies_shown_lead_to_options_when_asked() -> None:
    answer = choose(RACEWAY)
    assert answer["outcome"] == "barred"
    assert answer["remedies"]
    for remedy in answer["remedies"]:
        assert choose(remedy["question"])["outcome"] == "options"


def test_two_bars_are_cured_together_where_one_change_is_not_enough() -> None:
    question = {**RACEWAY, "place": {"enclosure": "raceway", "exposure": "wet"}}
    answer = choose(question)
    assert len(answer["bars"]) > 1
    for remedy in answer["remedies"]:
        assert choose(remedy["question"])["outcome"] == "options"


def test_no_option_where_barred_or_referred() -> None:
    assert choose(RACEWAY)["options"] == []
    assert choose({**LUMINAIRE, "circuit": {"kind": "service"}})["options"] == []


def test_referred_comes_before_barred() -> None:
    assert choose({**RACEWAY, "circuit": {"kind": "service"}})["outcome"] == "refer"


@pytest.mark.parametrize(
    ("extra", "pointer", "says"),
    [
        ({"catalogue": "shpo"}, "/catalogue", "did you mean 'shop'?"),
        ({"catalogue": "../shop"}, "/catalogue", "did you mean 'shop'?"),
        ({"amendments": ["county"]}, "/amendments/0", "use one of: coastal-county, house-rules"),
        ({"code": "nfpa70-2026"}, "/code", "did you mean"),
    ],
)
def test_name_that_is_not_known_here_is_refused(extra: dict[str, Any], pointer: str, says: str) -> None:
    with pytest.raises(Refused) as caught:
        choose({**LUMINAIRE, **extra})
    (problem,) = caught.value.problems
    assert problem.pointer == pointer
    assert says in problem.says


def test_every_option_begins_its_make_up_by_making_safe() -> None:
    for option in choose({**LUMINAIRE, "limit": 100})["options"]:
        assert option["make_up"][0]["phase"] == "make-safe"


def test_usual_cautions_stand_once_in_every_answer() -> None:
    for question in (LUMINAIRE, RACEWAY, {**LUMINAIRE, "circuit": {"kind": "service"}}):
        rules = [caution["rule"] for caution in choose(question)["cautions"]]
        assert len(rules) == len(set(rules))
        assert {rule for rule in rules if rule.startswith("make-up/")}


SIZES = ["24 AWG", "18 AWG", "14 AWG", "12 AWG", "10 AWG", "6 AWG", "2/0 AWG", "250 kcmil", "2.5 mm2"]


@pytest.mark.slow
@settings(max_examples=150, deadline=None)
@given(
    st.lists(
        st.fixed_dictionaries(
            {"size": st.sampled_from(SIZES), "count": st.integers(1, 5)},
            optional={
                "material": st.sampled_from(["copper", "aluminum", "copper-clad-aluminum"]),
                "construction": st.sampled_from(["solid", "stranded", "fine-stranded"]),
            },
        ),
        min_size=1,
        max_size=4,
    )
)
def test_aluminum_fine_strands_and_grounds_are_never_bracketed(conductors: list[dict[str, Any]]) -> None:
    answer = choose({"joint": {"conductors": conductors}, "limit": 100})
    doubtful = any(
        conductor.get("material", "copper") != "copper" or conductor.get("construction") == "fine-stranded"
        for conductor in conductors
    )
    bases = {option["fill"]["basis"] for option in answer["options"]}
    assert not (doubtful and "bracketed" in bases)
