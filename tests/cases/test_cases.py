"""Runs the cases of this folder: a sentence as name, a question, and the part of the answer that matters.

What a case may expect: `outcome`; `offers` and `never_offers` (methods); `offered_all` (listing attributes that each
option has, with their values); `bars`, `demands`, `findings`, `cautions`, `referrals` (rule ids that must be there, a
minus in front: that must not); `barred_methods` (a bar with its methods); `asks` (a demand with its tests by
attribute); `chains` (lists of rule ids, each resting on the one before it, the first on facts alone); `cites` (sources,
as `NFPA 70 110.14(B)`, among the rules cited); `refuses` (a method whose every connector is refused, with words that
each refusal says); `make_up` (a method with rule ids of its steps in their order, a minus in front: no such step);
`figures` (a method with the values that its steps give, by rule id); `before` (pairs of methods or connectors, the
first ranked higher); `preferred` (a connector with rule ids that speak for it, a minus in front: that do not);
`judged` (concern by concern `true`, `not-stated` or `no-rule`) with `articles` (what they rest on); `remedies` (changes
among those offered); `remedy_kinds` (the kinds of all remedies in order); `divided` (the joints and
jumpers of the only split or pigtails offered).
"""

from __future__ import annotations

import itertools
from pathlib import Path
from typing import Any

import pytest

from splicewright.answering import shipped_chooser
from splicewright.reports.words import value_text
from splicewright.rulebook.examples import PLAIN
from splicewright.yaml_text import read_yaml
from tests.remedies.changes import changes

HERE = Path(__file__).parent
TOLD = ("bars", "method_bars", "demands", "findings", "cautions", "referrals")
EXPECTATIONS = {
    "bars", "demands", "findings", "cautions", "referrals", "outcome", "offers", "never_offers", "offered_all",
    "barred_methods", "asks", "chains", "cites", "refuses", "make_up", "figures", "before", "preferred", "judged",
    "articles", "remedies", "remedy_kinds", "divided",
}  # fmt: skip


def cases() -> list[Any]:
    found = []
    for path in sorted(
        set(HERE.glob("*/*.yaml"))
        - {*HERE.glob("checks/*.yaml"), *HERE.glob("order/*.yaml"), *HERE.glob("silence/*.yaml")}
    ):  # those have a runner of their own
        read = read_yaml(path.read_bytes()).value
        found += [pytest.param(case, id=f"{path.parent.name}/{path.stem}: {case['name']}") for case in read]
    return found


@pytest.mark.parametrize("case", cases())
def test_case(case: dict[str, Any]) -> None:
    assert set(case) == {"name", "question", "answer"}
    wanted = case["answer"]
    assert wanted
    assert set(wanted) <= EXPECTATIONS
    question = {**PLAIN, "limit": 100, **case["question"]}
    answer = shipped_chooser().choose(question)
    methods = {option["method"] for option in answer["options"]}
    if "outcome" in wanted:
        assert answer["outcome"] == wanted["outcome"], answer["bars"]
    assert set(wanted.get("offers", ())) <= methods
    assert not set(wanted.get("never_offers", ())) & methods
    for part in ("demands", "findings", "cautions", "referrals"):
        _check_rules({one["rule"] for one in answer[part]}, wanted.get(part, ()))
    bars = [*answer["bars"], *answer["method_bars"]]
    _check_rules({bar["rule"] for bar in bars}, wanted.get("bars", ()))
    barred = {bar["rule"]: bar.get("methods") for bar in bars}
    for rule, listed in wanted.get("barred_methods", {}).items():
        assert barred.get(rule) == listed
    for rule, tests in wanted.get("asks", {}).items():
        asked = [demand for demand in answer["demands"] if demand["rule"] == rule]
        assert {demand["attribute"]: _in_words(demand["test"]) for demand in asked} == tests
    for chain in wanted.get("chains", ()):
        _check_chain(answer, chain)
    sources = {
        f"{one['source'].get('document')} {one['source'].get('section')}"
        for one in answer["rules"].values()
        if one["source"]["kind"] == "published"
    }
    for cited in wanted.get("cites", ()):
        assert cited in sources, sources
    _check_refusals(answer, wanted.get("refuses", {}))
    _check_listings(answer, wanted.get("offered_all", {}))
    for method, rules in wanted.get("make_up", {}).items():
        _check_order([step["rule"] for step in _made_up(answer, method)], rules)
    for method, figures in wanted.get("figures", {}).items():
        given = {step["rule"]: step.get("value") for step in _made_up(answer, method)}
        assert {rule: given.get(rule) for rule in figures} == figures
    for first, second in wanted.get("before", ()):
        assert _place(answer, first) < _place(answer, second)
    for connector, rules in wanted.get("preferred", {}).items():
        preferred = [one["preferred"] for one in answer["options"] if one["connector"] == connector]
        assert preferred, connector
        _check_rules({one["rule"] for one in preferred[0]}, rules)
    judged = {one["concern"]: one for one in answer["judged"]}
    for concern, told in wanted.get("judged", {}).items():
        assert judged[concern].get("why", True) == told, judged[concern]
    for concern, article in wanted.get("articles", {}).items():
        assert judged[concern]["article"] == article
    _check_remedies(answer["remedies"], wanted)


def _in_words(test: dict[str, Any]) -> dict[str, Any]:
    return {operator: [value_text(value) if isinstance(value, dict) else value for value in values]
            for operator, values in test.items()}  # fmt: skip


def _check_remedies(remedies: list[dict[str, Any]], wanted: dict[str, Any]) -> None:
    written = changes(remedies)
    for change in wanted.get("remedies", ()):
        assert change in written, written
    if "remedy_kinds" in wanted:
        assert [remedy["kind"] for remedy in remedies] == wanted["remedy_kinds"]
    if "divided" in wanted:
        assert [_divided(remedy) for remedy in remedies if "jumpers" in remedy] == [wanted["divided"]]


def _divided(remedy: dict[str, Any]) -> dict[str, Any]:
    """Give the joints of a split by what they take and by which method, and its jumpers in words."""
    jumper = remedy["jumpers"][0]
    return {
        "joints": [f"{joint['takes']} by {joint['best']['method']}" for joint in remedy["joints"]],
        "jumpers": f"{len(remedy['jumpers'])} x {value_text(jumper['size'])} {jumper['material']} {jumper['role']}",
        "sized_by": jumper["sized_by"],
    }


def _check_rules(found: set[str], wanted: list[str]) -> None:
    for rule in wanted:
        assert (rule.lstrip("-") in found) is not rule.startswith("-"), (rule, found)


def _check_chain(answer: dict[str, Any], chain: list[str]) -> None:
    told = {one["rule"]: [proof.get("rule") for proof in one["from"]] for part in TOLD for one in answer[part]}
    assert len(chain) > 2
    assert set(chain) <= set(told)
    assert not any(told[chain[0]]), told[chain[0]]
    for before, rule in itertools.pairwise(chain):
        assert before in told[rule], (rule, told[rule])


def _made_up(answer: dict[str, Any], method: str) -> list[dict[str, Any]]:
    """Give the steps of the best option of a method."""
    found = [option["make_up"] for option in answer["options"] if option["method"] == method]
    assert found, method
    steps: list[dict[str, Any]] = found[0]
    return steps


def _check_order(steps: list[str], wanted: list[str]) -> None:
    _check_rules(set(steps), wanted)
    places = [steps.index(rule) for rule in wanted if not rule.startswith("-")]
    assert places == sorted(places), steps


def _place(answer: dict[str, Any], name: str) -> int:
    """Give the rank of the best option that is this connector or of this method."""
    ranks: list[int] = [
        option["rank"] for option in answer["options"] if name in (option["connector"], option["method"])
    ]
    assert ranks, name
    return ranks[0]


def _check_refusals(answer: dict[str, Any], wanted: dict[str, list[str]]) -> None:
    refused = {refusal["connector"]: refusal for refusal in answer["refusals"]}
    for method, words in wanted.items():
        connectors = [one.id for one in shipped_chooser().catalogue("shop").connectors if one.method == method]
        assert connectors
        for connector in connectors:
            told = " ".join(reason["says"] for reason in refused[connector]["because"])
            for word in words:
                assert word in told, (connector, told)


def _check_listings(answer: dict[str, Any], wanted: dict[str, Any]) -> None:
    connectors = {connector.id: connector for connector in shipped_chooser().catalogue("shop").connectors}
    assert not wanted or answer["options"]
    for option in answer["options"]:
        attributes = connectors[option["connector"]].attributes
        for name, value in wanted.items():
            listed = attributes.get(name)
            assert listed == value or (isinstance(listed, frozenset) and value in listed), (
                option["connector"],
                name,
                listed,
            )
