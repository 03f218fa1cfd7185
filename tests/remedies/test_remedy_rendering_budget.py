"""One request looks for so much only, counted in what is tried; what it leaves is told, and may be asked alone."""

from __future__ import annotations

import math
import random
from typing import Any

import pytest

from splicewright import fill_box, plan_job, work
from splicewright.answering import Chooser
from splicewright.choice.loaded_rules import LoadedRules
from splicewright.question.model import Question
from splicewright.question.read import read_question
from splicewright.remedies import splitting
from splicewright.remedies.search import MOST_TRIED
from splicewright.remedies.split_search import ASKED, FILLED, MOST_ASKED, MOST_FILLED, MOST_STEPS
from splicewright.work import Budget

KINDS = [
    {"size": of, "construction": built, "insulation": letters}
    for of in ("14 AWG", "12 AWG", "10 AWG")
    for built in ("solid", "stranded")
    for letters in ("THHN", "TW", "THW", "XHHW-2")
]
TWELVE = {"conductors": [{"size": "12 AWG", "insulation": "THHN", "count": 12}]}
PAIR = {"conductors": [{"size": "12 AWG", "insulation": "THHN", "count": 2}]}
WIRES = [{"size": "12 AWG", "count": 200}, {"size": "14 AWG", "count": 200}, {"size": "10 AWG", "count": 200}]
#: More than any one joint may be: two searches, each within its bounds, and what is tried before them.
MOST_OF_ONE = 2 * (MOST_ASKED * ASKED + MOST_FILLED * FILLED + MOST_STEPS + ASKED + FILLED + 1) + MOST_TRIED * ASKED


def overfilled(seed: int, kinds: int | None = None) -> dict[str, Any]:
    """Give a joint of 24 conductors of so many kinds."""
    rng = random.Random(seed)
    chosen = rng.sample(KINDS, kinds or rng.randint(1, 12))
    counts = [1] * len(chosen)
    for _ in range(24 - len(chosen)):
        counts[rng.randrange(len(chosen))] += 1
    return {"conductors": [{**kind, "count": count} for kind, count in zip(chosen, counts, strict=True)]}


def asked(joint: dict[str, Any]) -> Question:
    return read_question({"joint": joint}).question


@pytest.fixture(scope="module")
def chooser() -> Chooser:
    return Chooser()


@pytest.fixture
def worked(monkeypatch: pytest.MonkeyPatch) -> list[Question]:
    """Note each joint of which splits are looked for."""
    found: list[Question] = []
    search = splitting.search

    def noted(question: Question, *args: Any) -> Any:
        found.append(question)
        return search(question, *args)

    monkeypatch.setattr("splicewright.remedies.remedy_rendering.search", noted)
    return found


# --- the work of one joint -------------------------------------------------------------------


@pytest.mark.slow
@pytest.mark.parametrize("kinds", [1, 2, 4, 6, 12, 24])
def test_work_of_a_joint_is_counted_the_same_whatever_was_asked_before(chooser: Chooser, kinds: int) -> None:
    question = asked(overfilled(3, kinds))
    fresh, used = Chooser().holding, chooser.holding
    counted = {splitting.search(question, one, one.match(question))[1] for one in (fresh, used, used)}
    assert len(counted) == 1
    assert 0 < counted.pop() <= MOST_OF_ONE


@pytest.mark.slow
def test_a_joint_within_its_bounds_is_searched_for_nothing_more(chooser: Chooser, worked: list[Question]) -> None:
    joints = [{"joint": overfilled(seed, 3)} for seed in range(3)]
    plan_job({"joints": joints * 3, "split_overfilled": True}, chooser)
    assert len(worked) == len(set(worked)) == 3


# --- the budget of one request ---------------------------------------------------------------


def test_a_joint_is_searched_as_long_as_any_work_is_left() -> None:
    one, two, three = (asked(overfilled(seed)) for seed in range(3))
    left = Budget(10)
    assert left.allows(one)
    left.pay(one, 9)
    assert left.allows(two)
    left.pay(two, 1_000)
    assert not left.allows(three)
    assert left.unsearched == {three}


def test_what_was_paid_for_is_free() -> None:
    one, two = (asked(overfilled(seed)) for seed in range(2))
    left = Budget(10)
    for _ in range(5):
        left.pay(one, 9)
    assert left.allows(two)
    left.pay(two, 9)
    assert left.allows(one)
    assert left.allows(two)
    assert not left.unsearched


@pytest.mark.slow
def test_a_job_searches_no_more_than_its_budget_and_tells_the_rest(
    chooser: Chooser, monkeypatch: pytest.MonkeyPatch, worked: list[Question]
) -> None:
    monkeypatch.setattr(work, "MOST_REMEDIES", MOST_OF_ONE)
    joints = [{"joint": overfilled(seed)} for seed in range(40)]
    answer = plan_job({"joints": [*joints, {"joint": PAIR}], "split_overfilled": True}, chooser)
    told = [problem["pointer"] for problem in answer["problems"] if "remedies_looked_for" in problem]
    assert told == [f"/joints/{at}" for at in range(len(worked), 40)]
    assert 1 < len(worked) < 40
    assert [joint["outcome"] for joint in answer["joints"]] == [
        *["split"] * len(worked),
        *["no-connector"] * len(told),
        "options",
    ]
    assert all(problem["because"] for problem in answer["problems"])


def test_what_a_job_did_not_search_is_split_when_asked_alone(chooser: Chooser, monkeypatch: pytest.MonkeyPatch) -> None:
    joints = [{"joint": overfilled(seed, 3)} for seed in range(2)]
    with monkeypatch.context() as bounded:
        bounded.setattr(work, "MOST_REMEDIES", 1)
        together = plan_job({"joints": joints, "split_overfilled": True}, chooser)
    assert [joint["outcome"] for joint in together["joints"]] == ["split", "no-connector"]
    alone = plan_job({"joints": joints[1:], "split_overfilled": True}, chooser)
    assert alone["joints"][0]["outcome"] == "split"


def test_joints_of_a_jobs_boxes_share_its_budget_and_come_last(
    chooser: Chooser, monkeypatch: pytest.MonkeyPatch, worked: list[Question]
) -> None:
    monkeypatch.setattr(work, "MOST_REMEDIES", 1)
    boxes = [{"wires": WIRES[:1], "joints": [{"joint": overfilled(at, 2)}]} for at in range(2)]
    answer = plan_job({"joints": [{"joint": TWELVE}], "boxes": boxes, "split_overfilled": True}, chooser)
    assert [joint["outcome"] for joint in answer["joints"]] == ["split", "no-connector", "no-connector"]
    unsearched = [problem["pointer"] for problem in answer["problems"] if "remedies_looked_for" in problem]
    assert unsearched == ["/boxes/0/joints/0", "/boxes/1/joints/0"]
    assert len(worked) == 1


@pytest.mark.slow
def test_a_box_tells_which_joints_were_not_searched(monkeypatch: pytest.MonkeyPatch, worked: list[Question]) -> None:
    joints = [{"joint": TWELVE}, {"joint": PAIR}, {"joint": overfilled(1, 2)}, {"joint": TWELVE}, {"joint": {}}]
    given = {"wires": WIRES, "joints": joints}
    whole = fill_box(given, Chooser())
    assert whole["problems"] == []
    worked.clear()
    monkeypatch.setattr(work, "MOST_REMEDIES", 1)
    answer = fill_box(given, Chooser())
    (told,) = answer["problems"]
    assert told["pointer"] == "/joints/2"
    assert "ask this one alone" in told["says"]
    assert answer["joints"][2] == {**whole["joints"][2], "remedies": []}
    assert answer["joints"][:2] + answer["joints"][3:] == whole["joints"][:2] + whole["joints"][3:]
    assert len(worked) == 1


@pytest.mark.slow
def test_a_box_is_answered_the_same_whatever_was_asked_before(monkeypatch: pytest.MonkeyPatch) -> None:
    given = {"wires": WIRES, "joints": [{"joint": overfilled(seed, 3)} for seed in range(6)]}
    monkeypatch.setattr(work, "MOST_REMEDIES", 150_000)
    cold = fill_box(given, Chooser())
    warm = Chooser()
    for seed in range(6):
        warm.choose({"joint": overfilled(seed, 3), "place": {"enclosure": "box"}}, explain="brief")
        fill_box({**given, "joints": given["joints"][seed:]}, warm)
    assert fill_box(given, warm) == fill_box(given, warm) == fill_box(given, Chooser(cache_bytes=0)) == cold
    assert 0 < len(cold["problems"]) < 6


def test_what_was_not_searched_is_not_kept_as_an_answer() -> None:
    chooser = Chooser()
    question = read_question({"joint": TWELVE})
    spent = Budget(0)
    assert chooser.answer(question, spent)["remedies"] == []
    assert spent.unsearched == {question.question}
    assert chooser.answer(question)["remedies"] != []
    assert chooser.answer(question, Budget(0))["remedies"] == []


def test_a_made_or_referred_joint_is_never_told_as_unsearched() -> None:
    chooser, spent = Chooser(), Budget(0)
    for more in ({}, {"circuit": {"kind": "service"}}):
        answer = chooser.answer(read_question({"joint": PAIR, **more}), spent)
        assert answer["outcome"] in ("options", "refer")
    assert not spent.unsearched


@pytest.mark.slow
def test_an_unbounded_budget_searches_everything(worked: list[Question]) -> None:
    given = {"wires": WIRES, "joints": [{"joint": overfilled(seed, 1)} for seed in range(8)]}
    answer = fill_box(given, Chooser(), budget=Budget(math.inf))
    assert answer["problems"] == []
    assert len(worked) == len(set(worked)) > 1


# --- what it asks ----------------------------------------------------------------------------


@pytest.mark.slow
def test_a_job_of_a_hundred_overfilled_joints_asks_no_more_than_the_budget_allows(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    asked_of: list[Question] = []
    match = LoadedRules.match
    monkeypatch.setattr(LoadedRules, "match", lambda self, one: asked_of.append(one) or match(self, one))
    plan_job({"joints": [{"joint": overfilled(seed)} for seed in range(100)], "split_overfilled": True})
    assert len(asked_of) < (work.MOST_REMEDIES + MOST_OF_ONE) / ASKED + 1_000
