"""Runs the cases of this folder: a sentence as name, a question, and the part of the answer that matters.

What a case may expect: `outcome`; `offers` and `never_offers` (methods); `offered_all` (listing attributes that each
option has, with their values); `bars`, `demands`, `findings`, `cautions`, `referrals` (rule ids that must be there, a
minus in front: that must not); `cites` (sources, as `NFPA 70 110.14(B)`, among the rules cited); `refuses` (a method
whose every connector is refused, with words that each refusal says); `remedies` (changes among those offered).
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from splicewright.choice import shipped_chooser
from splicewright.reading import read_yaml
from splicewright.rulebook.examples import PLAIN

HERE = Path(__file__).parent
EXPECTATIONS = {
    "outcome", "offers", "never_offers", "offered_all", "bars", "demands", "findings", "cautions", "referrals",
    "cites", "refuses", "remedies",
}  # fmt: skip


def cases() -> list[Any]:
    found = []
    for path in sorted(HERE.glob("*/*.yaml")):
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
    for part in ("bars", "demands", "findings", "cautions", "referrals"):
        rules = {one["rule"] for one in answer[part]}
        for rule in wanted.get(part, ()):
            assert (rule.lstrip("-") in rules) is not rule.startswith("-"), (rule, rules)
    sources = {
        f"{one['source'].get('document')} {one['source'].get('section')}"
        for one in answer["rules"].values()
        if one["source"] != "common-practice"
    }
    for cited in wanted.get("cites", ()):
        assert cited in sources, sources
    _check_refusals(answer, wanted.get("refuses", {}))
    _check_listings(answer, wanted.get("offered_all", {}))
    changes = [one["change"] for one in answer["remedies"]]
    for change in wanted.get("remedies", ()):
        assert change in changes


def _check_refusals(answer: dict[str, Any], wanted: dict[str, list[str]]) -> None:
    refused = {one["connector"]: one for one in answer["refusals"]}
    for method, words in wanted.items():
        connectors = [one.id for one in shipped_chooser().catalogue("shop").connectors if one.method == method]
        assert connectors
        for connector in connectors:
            told = " ".join(reason["says"] for reason in refused[connector]["because"])
            for word in words:
                assert word in told, (connector, told)


def _check_listings(answer: dict[str, Any], wanted: dict[str, Any]) -> None:
    connectors = {one.id: one for one in shipped_chooser().catalogue("shop").connectors}
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
