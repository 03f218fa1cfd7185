"""Why an answer is as it is: trees down to what was given, reasons that are the answer's, changes that were tried."""

from __future__ import annotations

import copy
import itertools
import random
from collections.abc import Iterator
from typing import Any

import pytest

from splicewright.answering import Chooser
from splicewright.answering.why import MOST_TRIED, UnknownConnector, why
from splicewright.work import Budget
from tests.oracle.questions import random_given

WET = {
    "joint": {"conductors": [{"size": "12 AWG", "count": 2}, {"size": "18 AWG", "construction": "fine-stranded"}]},
    "place": {"exposure": "wet", "site": "outdoors"},
}


@pytest.fixture(scope="module")
def chooser() -> Chooser:
    return Chooser()


def leaves(nodes: list[dict[str, Any]]) -> Iterator[dict[str, Any]]:
    for node in nodes:
        if node.get("from"):
            yield from leaves(node["from"])
        else:
            yield node


def test_a_finding_is_followed_down_to_what_was_given(chooser: Chooser) -> None:
    told = why(WET, chooser)
    wet = next(one for one in told["findings"] if one["rule"] == "environment/wet-asks-wet-listing")
    (soaked,) = wet["from"]
    assert (soaked["rule"], soaked["does"]) == ("environment/soaked-is-wet", "conclude")
    assert soaked["from"] == [{"fact": "place.exposure", "value": "wet", "at": ["/place/exposure"]}]
    assert wet["source"]["kind"] == "published"
    assert (told["outcome"], told["best"]) == ("options", chooser.choose(WET)["options"][0]["connector"])


def test_trees_of_any_question_end_in_facts_or_in_rules_that_always_hold(chooser: Chooser) -> None:
    for seed in range(60):
        given = random_given(random.Random(seed))
        answer, told = chooser.choose(given), why(given, chooser)
        assert told["outcome"] == answer["outcome"]
        assert all("fact" in leaf or not leaf["from"] for leaf in leaves(told["findings"]))
        said = {"refer": "referrals", "barred": "bars"}.get(answer["outcome"], "demands")
        assert {one["rule"] for one in answer[said]} <= {one["rule"] for one in told["findings"]}


def test_reasons_against_a_connector_are_those_of_the_answer(chooser: Chooser) -> None:
    for seed in range(12):
        given = random_given(random.Random(100 + seed))
        for refusal in chooser.choose(given)["refusals"][:4]:
            told = why(given, chooser, connector=refusal["connector"])["connector"]
            assert told["standing"] == "refused"
            assert [one["rule"] for one in told["because"]] == [one["rule"] for one in refusal["because"]]


def test_what_a_reason_asks_is_told_with_what_the_listing_says(chooser: Chooser) -> None:
    told = why(WET, chooser, connector="lever-3-port")["connector"]
    (reason,) = told["because"]
    assert reason["asks"] == [
        {"attribute": "places", "test": {"includes-any": ["wet", "burial", "submersion"]}, "listed": "damp, dry"}
    ]
    assert [change["set"] for change in told["changes"]] == [
        {"place": {"exposure": "dry"}},
        {"place": {"exposure": "damp"}},
    ]
    assert told["tried"] >= len(told["changes"])


def changed(given: dict[str, Any], change: dict[str, Any]) -> dict[str, Any]:
    found = copy.deepcopy(given)
    for part, leaf in change["set"].items():
        if part == "conductor":
            for conductor in found["joint"]["conductors"]:
                conductor.update(leaf)
        else:
            found.setdefault(part, {}).update(leaf)
    return found


def test_changes_that_are_told_make_it_an_option_of_that_rank(chooser: Chooser) -> None:
    met = 0
    for at, (exposure, enclosure, construction) in enumerate(
        itertools.product(("damp", "wet"), ("box", "handhole", "luminaire"), ("solid", "fine-stranded"))
    ):
        conductors = [{"size": "12 AWG", "count": 2, "construction": construction}]
        given = {"joint": {"conductors": conductors}, "place": {"exposure": exposure, "enclosure": enclosure}}
        for refusal in chooser.choose(given)["refusals"][at::9]:
            for change in why(given, chooser, connector=refusal["connector"])["connector"]["changes"]:
                met += 1
                options = chooser.choose({**changed(given, change), "limit": 100})["options"]
                assert options[change["rank"] - 1]["connector"] == refusal["connector"]
    assert met >= 40


def test_an_option_is_told_with_what_speaks_for_it_and_what_the_best_has_before_it(chooser: Chooser) -> None:
    given = {"joint": {"conductors": [{"size": "14 AWG", "count": 3}]}}
    first, second = (why(given, chooser, connector=one)["connector"] for one in ("push-in-3-port", "lever-3-port"))
    assert (first["standing"], first["rank"], "before_it" in first) == ("option", 1, False)
    assert (second["standing"], second["rank"]) == ("option", 2)
    lacking = {one["rule"] for one in second["before_it"]}
    assert lacking == {one["rule"] for one in first["preferred"]} - {one["rule"] for one in second["preferred"]}
    narrowed = why({**given, "only": {"methods": ["lever"]}}, chooser, connector="push-in-3-port")["connector"]
    assert narrowed["standing"] == "not-carried"


def test_of_a_barred_joint_changes_are_tried_for_the_connector(chooser: Chooser) -> None:
    given = {"joint": {"conductors": [{"size": "12 AWG", "count": 2}]}, "place": {"reach": "concealed"}}
    told = why(given, chooser, connector="lever-3-port")
    assert told["outcome"] == "barred"
    assert (told["connector"]["standing"], "because" in told["connector"]) == ("not-looked-at", False)
    assert {"place": {"reach": "accessible"}} in [one["set"] for one in told["connector"]["changes"]]


def test_a_refused_connector_has_reasons_and_one_of_a_joint_that_is_not_made_was_not_looked_at(
    chooser: Chooser,
) -> None:
    met = set()
    for seed in range(60):
        given = random_given(random.Random(700 + seed))
        told = why(given, chooser, connector="lever-3-port", budget=Budget(whole=200))
        standing = told["connector"]["standing"]
        assert (standing == "not-looked-at") == (told["outcome"] in ("barred", "refer"))
        assert (standing == "refused") == bool(told["connector"].get("because"))
        met.add((told["outcome"], standing))
    assert met >= {("barred", "not-looked-at"), ("refer", "not-looked-at")}


def test_no_more_is_tried_than_the_bound_or_the_budget_of_the_call(chooser: Chooser) -> None:
    told = why(WET, chooser, connector="push-in-3-port", budget=Budget(whole=2000))["connector"]
    assert told["tried"] < 5
    assert told["untried"] > 0
    for seed in range(20):
        given = random_given(random.Random(500 + seed))
        told = why(given, chooser, connector="push-in-3-port")["connector"]
        assert told.get("tried", 0) <= MOST_TRIED


def test_a_connector_that_is_not_there_is_refused_with_the_nearest(chooser: Chooser) -> None:
    with pytest.raises(UnknownConnector, match="did you mean 'lever-3-port'"):
        why(WET, chooser, connector="lever-3-prt")
