"""A remedy is the smallest change that the rules accept, told with the answer it leads to."""

from __future__ import annotations

import random
from collections import defaultdict
from types import SimpleNamespace
from typing import Any

import orjson
import pytest

from splicewright.answering import choose, shipped_chooser
from splicewright.choice.loaded_rules import LoadedRules
from splicewright.engine import FindingSet
from splicewright.question.fact_kinds import fact_kinds
from splicewright.question.model import Question
from splicewright.question.read import read_question
from splicewright.remedies import remedy_rendering
from splicewright.remedies.search import MOST_TRIED, alterations, refusing_bars
from splicewright.reports.answer import Shown, print_answer
from tests.bench.questions import distinct
from tests.remedies.changes import change, changes, without_patches

TWELVE = {"size": "12 AWG", "count": 2, "insulation": "THHN"}
Plain = dict[str, Any]


def ask(*conductors: Plain, **parts: Any) -> Plain:
    return choose({"joint": {"conductors": list(conductors)}, **parts})


def changes_of(answer: Plain) -> list[Plain]:
    return changes(answer["remedies"])


@pytest.fixture(scope="module")
def barred() -> list[Question]:
    """Give questions that are barred, put together from the rules' own examples."""
    asked = (read_question(given).question for given in distinct(11))
    holding = shipped_chooser().holding
    found: list[Question] = []
    while len(found) < 250:
        one = next(asked)
        if holding.match(one).outcome == "barred":
            found.append(one)
    return found


# --- the smallest change ------------------------------------------------------------------


def test_remedy_tells_the_answer_it_leads_to() -> None:
    (remedy,) = ask(TWELVE, place={"enclosure": "raceway"})["remedies"]
    assert remedy["kind"] == "alter"
    assert change(remedy) == {"place": {"enclosure": "box"}}
    answer = choose(remedy["question"])
    assert remedy["outcome"] == answer["outcome"] == "options"
    (first, *_), catalogue = answer["options"], shipped_chooser().catalogue("shop")
    named = {"connector": first["connector"], "name": catalogue.connector(first["connector"]).name}
    assert remedy["best"] == {**named, "method": first["method"]}


def test_bad_ends_are_cut_back_first_and_the_options_follow() -> None:
    nicked, burnt = ({"size": "12 AWG", "insulation": "THHN", "condition": one} for one in ("nicked", "burnt"))
    (remedy,) = ask(nicked, burnt)["remedies"]
    assert change(remedy) == {"conductor": {"condition": "sound"}}
    assert [one.split()[:2] for one in remedy["do"]] == [["Cut", "back"], ["Cut", "back"]]
    options = choose(remedy["question"])["options"]
    told = [(one["connector"], one["method"]) for one in (remedy["best"], *remedy["then"])]
    assert told == [(option["connector"], option["method"]) for option in options[:3]]


def test_place_that_can_be_held_still_comes_before_other_wire() -> None:
    assert changes_of(ask(TWELVE, place={"movement": "flexing"}))[:2] == [
        {"place": {"movement": "still"}},
        {"conductor": {"construction": "stranded"}},
    ]


def test_conductors_to_change_are_named() -> None:
    wet = {**TWELVE, "count": 1, "insulation": "THWN-2", "role": "grounded"}
    (remedy,) = ask(wet, {**TWELVE, "role": "grounded"}, place={"exposure": "wet"})["remedies"]
    assert remedy["conductors"] == ["2 x 12 AWG solid copper"]


def test_one_change_for_several_conductors_is_one_remedy() -> None:
    ends = [{**TWELVE, "condition": "burnt"}, {**TWELVE, "condition": "nicked"}]
    answer = ask(*ends)
    assert len(answer["bars"]) > 1
    assert changes_of(answer) == [{"conductor": {"condition": "sound"}}]


def test_several_changes_together_only_where_one_is_not_enough() -> None:
    answer = ask(TWELVE, place={"enclosure": "short-radius-body", "exposure": "wet"})
    assert changes_of(answer) == [{"place": {"enclosure": "box"}, "conductor": {"insulation": "THWN-2"}}]
    outdoors = ask(TWELVE, place={"enclosure": "raceway", "site": "outdoors"})
    assert len(outdoors["bars"]) > 1
    assert changes_of(outdoors) == [{"place": {"enclosure": "box"}}]


def test_change_that_meets_another_bar_is_completed_by_what_that_offers() -> None:
    answer = ask(TWELVE, place={"enclosure": "short-radius-body", "reach": "concealed"})
    assert changes_of(answer) == [{"place": {"enclosure": "box", "reach": "accessible"}}]


def test_first_size_that_is_enough_is_the_only_one_offered() -> None:
    answer = ask(TWELVE, circuit={"amps": 60, "kind": "feeder"})
    assert [change["conductor"]["size"] for change in changes_of(answer) if "size" in change["conductor"]] == ["6 AWG"]


def test_no_conductor_is_made_smaller_by_a_size_that_another_needs() -> None:
    answer = ask({**TWELVE, "size": "8 AWG"}, TWELVE, circuit={"amps": 45, "kind": "feeder"})
    for remedy in answer["remedies"]:
        sizes = {conductor["size"] for conductor in remedy["question"]["joint"]["conductors"]}
        assert not sizes & {"10 AWG", "12 AWG"}


def test_overcurrent_device_is_never_made_larger() -> None:
    answer = ask(TWELVE, circuit={"overcurrent_amps": 25})
    assert {"circuit": {"overcurrent_amps": 20}} in changes_of(answer)
    assert not [change for change in changes_of(answer) if change.get("circuit", {}).get("overcurrent_amps", 0) >= 25]


def test_bar_that_nothing_offered_touches_leaves_no_remedy() -> None:
    neutral = {**TWELVE, "role": "grounded"}
    assert ask(TWELVE, neutral, place={"enclosure": "raceway"})["remedies"] == []


def test_referred_joint_has_no_remedy() -> None:
    assert ask(TWELVE, place={"enclosure": "raceway", "hazardous": True})["remedies"] == []


def test_joint_that_may_be_made_has_no_remedy() -> None:
    assert ask(TWELVE)["remedies"] == []


def test_volts_by_default_stand_in_the_question_where_the_kind_is_changed() -> None:
    answer = ask(TWELVE, circuit={"kind": "low-voltage-landscape", "volts": 120})
    (remedy,) = answer["remedies"]
    assert remedy["question"]["circuit"] == {
        "kind": "branch", "serves": "general", "volts": 120, "source": "utility", "current": "ac",
        "multiwire": False, "gfci": False,
    }  # fmt: skip


# --- what is not tried -----------------------------------------------------------------------


@pytest.mark.slow
def test_leaving_out_what_no_bar_rests_on_loses_no_remedy(
    barred: list[Question], monkeypatch: pytest.MonkeyPatch
) -> None:
    holding = shipped_chooser().holding
    quick = [alterations(question, holding.match(question), holding) for question in barred]
    monkeypatch.setattr("splicewright.remedies.search.MOST_TRIED", 10_000)
    for one, found in zip(barred, quick, strict=True):
        everything = alterations(one, holding.match(one), RestingOnEverything())  # type: ignore[arg-type]
        if len(found) < len(everything):
            assert _tries(one, holding) >= MOST_TRIED  # the bound, and not what was left out
        else:
            assert [each.question for each in everything] == [each.question for each in found]


class RestingOnEverything:
    """The shipped rules, as if each bar rested on every leaf, so that no change is left out."""

    match = staticmethod(shipped_chooser().holding.match)

    @staticmethod
    def rules_of(_question: Question) -> Any:
        return SimpleNamespace(given_behind=defaultdict(lambda: frozenset(fact_kinds())))


def _tries(question: Question, holding: LoadedRules) -> int:
    counted = []

    class Counting:
        rules_of = staticmethod(holding.rules_of)

        @staticmethod
        def match(asked: Question) -> Any:
            counted.append(asked)
            return holding.match(asked)

    match = holding.match(question)
    with pytest.MonkeyPatch.context() as patched:
        patched.setattr("splicewright.remedies.search.MOST_TRIED", MOST_TRIED)
        alterations(question, match, Counting())  # type: ignore[arg-type]
    return len(counted)


@pytest.mark.slow
def test_no_question_is_tried_twice_and_no_more_than_the_bound(barred: list[Question]) -> None:
    holding = shipped_chooser().holding
    most = max(_tries(question, holding) for question in barred)
    assert 2 < most <= MOST_TRIED


def test_bars_on_methods_count_only_where_no_connector_is_left() -> None:
    holding = shipped_chooser().holding
    fine = {"size": "12 AWG", "count": 2, "construction": "fine-stranded"}
    match = holding.match(read_question({"joint": {"conductors": [fine]}}).question)
    derived: FindingSet = match.derived
    assert derived.method_bars
    assert refusing_bars(match) == ()


# --- another connector -------------------------------------------------------------------------


def test_connector_is_described_where_the_catalogue_has_none() -> None:
    answer = ask({"size": "4 AWG", "count": 5, "role": "grounding-electrode", "insulation": "bare"})
    assert answer["outcome"] == "no-connector"
    (remedy,) = answer["remedies"]
    assert remedy["kind"] == "connector"
    assert remedy["takes"] == "5 x 4 AWG"
    asked = {(demand["attribute"], orjson.dumps(demand["test"])) for demand in answer["demands"]}
    assert {(one["attribute"], orjson.dumps(one["test"])) for one in remedy["listing"]} == asked
    assert {rule for one in remedy["listing"] for rule in one["rules"]} == {
        demand["rule"] for demand in answer["demands"]
    }


def test_methods_of_another_connector_list_each_thing_that_is_asked() -> None:
    answer = ask({"size": "4 AWG", "count": 5, "role": "grounding-electrode", "insulation": "bare"})
    methods = set(answer["remedies"][0]["methods"])
    irreversible = {
        connector.method
        for connector in shipped_chooser().catalogue("shop").connectors
        if connector.attributes.get("irreversible") and connector.attributes["grounding"] != "no"
    }
    assert methods
    assert methods <= irreversible


def test_no_connector_is_described_where_every_method_is_barred(monkeypatch: pytest.MonkeyPatch) -> None:
    holding = shipped_chooser().holding
    conductors = ({"size": "4 AWG", "count": 5, "role": "grounding-electrode", "insulation": "bare"},)
    question = read_question({"joint": {"conductors": conductors}}).question
    match = holding.match(question)

    def kinds() -> list[str]:
        found = remedy_rendering.find_remedies(question, match, holding)
        told = remedy_rendering.remedies(found, question, match, include=())
        return [orjson.loads(one.text)["kind"] for one in told]

    assert kinds() == ["connector"]
    monkeypatch.setattr(remedy_rendering, "METHODS", {})
    assert kinds() == []


# --- forms ----------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "given",
    [
        {"joint": {"conductors": [TWELVE]}, "place": {"enclosure": "raceway"}},
        {"joint": {"conductors": [{**TWELVE, "count": 12}]}},
        {"joint": {"conductors": [{"size": "4 AWG", "count": 5, "role": "grounding-electrode"}]}},
    ],
)
def test_brief_tells_the_same_remedies_without_whole_questions_and_the_next_best(given: Plain) -> None:
    full, brief = choose(given)["remedies"], choose({**given, "explain": "brief"})["remedies"]
    assert brief
    assert len(orjson.dumps(brief)) < 1_200
    for one, other in zip(full, brief, strict=True):
        shorter = {key: value for key, value in one.items() if key not in ("question", "questions", "sources", "then")}
        if one["kind"] == "connector":
            listing = [{key: value for key, value in each.items() if key != "rules"} for each in one["listing"]]
            shorter["listing"] = listing
        assert shorter == other


def test_remedies_are_the_same_in_any_order_of_conductors() -> None:
    ends = [
        {"size": "12 AWG", "count": 2, "role": "grounded", "insulation": "THHN"},
        {"size": "12 AWG", "count": 3, "role": "grounded", "construction": "stranded", "insulation": "THHN"},
        {"size": "10 AWG", "count": 4, "role": "grounded", "insulation": "THHN"},
        {"size": "14 AWG", "count": 3, "role": "grounded", "insulation": "THHN"},
    ]
    rng = random.Random(5)
    wanted = without_patches(ask(*ends)["remedies"])
    assert wanted[0]["kind"] == "split"
    for _ in range(5):
        assert without_patches(ask(*rng.sample(ends, 4))["remedies"]) == wanted


@pytest.mark.parametrize(
    ("given", "lines"),
    [
        (
            {"joint": {"conductors": [TWELVE]}, "place": {"exposure": "wet"}},
            ["conductor.insulation → THWN-2 for 2 x 12 AWG solid copper: then "],
        ),
        (  # of which conductors stands behind what changes of them
            {"joint": {"conductors": [TWELVE]}, "place": {"enclosure": "short-radius-body", "exposure": "wet"}},
            ["place.enclosure → box, conductor.insulation → THWN-2 for 2 x 12 AWG solid copper: then "],
        ),
        (  # that they stay solid is no change
            {"joint": {"conductors": [TWELVE]}, "circuit": {"amps": 32, "kind": "feeder"}},
            ["→ conductor.size → 8 AWG for 2 x 12 AWG solid copper: then "],
        ),
        (
            {"joint": {"conductors": [{**TWELVE, "count": 12}]}},
            [
                "a split: 2 joints, the fewest that will do, tied by a jumper of 12 AWG solid copper, 6 in",
                "jumpers 1-2",
            ],
        ),
        (
            {"joint": {"conductors": [{"size": "10 AWG", "count": 24}]}},
            ["2-5, each: 6 x 10 AWG in ", "jumpers 1-2, 1-3, 1-4, 1-5, 1-6, counted in both of their joints"],
        ),
        (
            {"joint": {"conductors": [{"size": "4 AWG", "count": 5, "role": "grounding-electrode"}]}},
            ["with a connector that is not in this catalogue, and so was not tried", "listed for 5 x 4 AWG, and for "],
        ),
    ],
)
def test_remedies_are_printed_for_people(given: Plain, lines: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    print_answer(choose(given), Shown(everything=True))
    printed = " ".join(capsys.readouterr().out.split())
    for line in lines:
        assert line in printed
