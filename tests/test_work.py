"""One call does so much only, in work that is counted: what it asks for beyond is refused or told."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import orjson
import pytest

from splicewright import check_splice, plan_job
from splicewright.answering import Chooser
from splicewright.api.app import create_app
from splicewright.api.settings import Settings
from splicewright.job import job_json
from splicewright.job.planning import WORK
from splicewright.refusals import Refused
from splicewright.work import ENTRY, JOINT, KIND, LINE, PROPOSAL, WORK_OF_A_PIECE, Budget

NDJSON = "application/x-ndjson"
ONE = JOINT + KIND + ENTRY


def joints(count: int, **more: Any) -> list[dict[str, Any]]:
    """Give so many joints that all ask something else."""
    of = {"conductors": [{"size": "12 AWG", "count": 3}]}
    return [{"joint": of, "circuit": {"amps": 1 + at / 10}, **more} for at in range(count)]


@pytest.fixture(scope="module")
def chooser() -> Chooser:
    return Chooser()


class Stopped(Exception):
    """What a watch raises in these tests."""


# --- the budget itself -----------------------------------------------------------------------


def test_work_is_counted_until_it_is_used_up() -> None:
    budget = Budget(whole=10)
    assert budget.lasts(10)
    assert not budget.spent
    assert budget.left == 0
    assert not budget.lasts(1)
    assert budget.spent
    assert budget.left == 0


def test_what_is_beyond_the_whole_is_refused_where_it_stands() -> None:
    with pytest.raises(Refused, match="/joints/7: a call may take 1,000 pieces of work, which are used up here"):
        Budget(whole=1_000).count(1_001, "/joints/7")


def test_all_work_is_told_to_who_watches() -> None:
    told: list[int] = []
    budget = Budget(watch=told.append)
    budget.lasts(3)
    budget.count(4, "")
    assert told == [3, 4]


def test_remedies_are_looked_for_in_what_is_left_of_the_whole_only() -> None:
    budget = Budget(whole=10)
    assert budget.allows("one")
    budget.pay("one", 11)
    assert not budget.allows("other")
    assert budget.unsearched == {"other"}


# --- jobs ------------------------------------------------------------------------------------


def test_a_job_of_more_joints_than_a_call_may_decide_is_refused_from_the_first_too_many(chooser: Chooser) -> None:
    with pytest.raises(Refused, match="send what begins here in a call of its own") as refused:
        plan_job({"joints": joints(40)}, chooser, Budget(whole=20 * ONE))
    (problem,) = refused.value.problems
    at = int(problem.pointer.removeprefix("/joints/"))
    assert 5 < at < 20
    plan_job({"joints": joints(at)}, chooser, Budget(whole=20 * ONE))


def test_joints_that_say_the_same_are_counted_as_entries_only(chooser: Chooser) -> None:
    plan_job({"joints": joints(1) * 200}, chooser, Budget(whole=200 * ENTRY + 3 * ONE))


def test_boxes_and_the_joints_in_them_are_counted(chooser: Chooser) -> None:
    box = {"wires": [{"size": "12 AWG", "count": 6}]}
    boxes = [{**box, "joints": joints(9)[at : at + 3]} for at in (0, 3, 6)]
    with pytest.raises(Refused) as refused:
        plan_job({"boxes": boxes}, chooser, Budget(whole=5 * ONE))
    assert refused.value.problems[0].pointer == "/boxes/1"


def test_an_answer_that_would_be_too_long_is_refused(chooser: Chooser) -> None:
    asked = {"joints": joints(1) * 300, "include": ["assumed"]}
    job_json(asked, chooser, Budget(answer_bytes=1_000_000))
    with pytest.raises(Refused, match="/joints/100: the answer would have more than 400,000 bytes"):
        job_json(asked, chooser, Budget(answer_bytes=400_000))


@pytest.mark.parametrize("more", [{}, {"split_overfilled": True, "include": ["assumed", "cautions"]}])
def test_a_job_as_text_is_the_job_as_data(chooser: Chooser, more: dict[str, Any]) -> None:
    many = {"conductors": [{"size": "12 AWG", "count": 15}]}
    boxes = [{"wires": [{"size": "12 AWG", "count": 6}], "box": {"volume": {"value": 3, "unit": "in3"}}}]
    asked = {"joints": [*joints(150), {"joint": many}, {"joint": {}}, 3], "boxes": boxes, **more}
    assert orjson.loads(job_json(asked, chooser, Budget())) == plan_job(asked, chooser)
    assert orjson.loads(job_json({"joints": joints(1)}, chooser, Budget())) == plan_job({"joints": joints(1)}, chooser)


def test_a_plan_is_made_in_what_work_is_left_and_tells_how_much_that_was(chooser: Chooser) -> None:
    stock = {"effort": 10}
    whole = plan_job({"joints": joints(3), "stock": stock}, chooser)
    left = plan_job({"joints": joints(3), "stock": stock}, chooser, Budget(whole=500_000))
    assert "effort_allowed" not in whole["stock_plan"]
    assert left["stock_plan"]["effort_allowed"] == round(500_000 * WORK_OF_A_PIECE / WORK, 2)
    assert left["answer"] != whole["answer"]


def test_a_plan_ends_with_what_its_watch_raises(chooser: Chooser) -> None:
    rules = {"joint": {"conductors": [{"size": "14 AWG", "count": 2}, {"size": "12 AWG", "count": 2}]}}
    stock = {"aim": "least-cost", "prices": {"lever-3-port": {"each": 1}, "push-in-4-port": {"each": 2}}}
    seen: list[int] = []
    plan_job({"joints": [*joints(2), rules], "stock": stock}, chooser, Budget(watch=seen.append))
    for last in range(len(seen)):
        told: list[int] = []

        def watch(work: int, told: list[int] = told, last: int = last) -> None:
            told.append(work)
            if len(told) > last:
                raise Stopped

        with pytest.raises(Stopped):
            plan_job({"joints": [*joints(2), rules], "stock": stock}, chooser, Budget(watch=watch))


# --- batches ---------------------------------------------------------------------------------

ASKED = orjson.dumps({"joint": {"conductors": [{"size": "12 AWG", "count": 2}]}})
TWELVE = orjson.dumps({"joint": {"conductors": [{"size": "12 AWG", "insulation": "THHN", "count": 12}]}})


def small(chooser: Chooser) -> Any:
    """Give a client of a server whose batches may take the work of 1,000 bytes: 17 lines."""
    return create_app(chooser, Settings(max_batch=1_000)).test_client()


def test_a_batch_that_uses_up_its_work_ends_with_a_problem(chooser: Chooser) -> None:
    body = b"{}\n" * 30
    *answers, last = small(chooser).post("/v1/batches", data=body, content_type=NDJSON).data.splitlines()
    assert len(answers) == 6 * 1_000 // LINE
    told = orjson.loads(last)["problem"]
    assert told["status"] == 413
    assert (
        told["detail"]
        == f"line {len(answers) + 1} has used up the work that a batch may take; send what begins here in another"
    )


def test_a_list_tells_what_was_not_answered_in_each_place(chooser: Chooser) -> None:
    found = small(chooser).post("/v1/batches", json=[{}] * 30).json
    assert len(found) == 30
    told = [one["pointer"] for one in found if one["errors"][0]["code"] == "too-long"]
    assert told == [f"/{at}" for at in range(6 * 1_000 // LINE, 30)]


def test_what_a_line_costs_a_batch_does_not_hang_on_what_was_asked_before() -> None:
    chooser = Chooser()
    body = b"\n".join([TWELVE] * 2 + [ASKED] * 9) + b"\n"
    answers = [small(chooser).post("/v1/batches", data=body, content_type=NDJSON).data for _ in range(3)]
    assert answers[0] == answers[1] == answers[2]
    assert b'"problem"' in answers[0]
    assert b'"remedies":[{' in answers[0]


# --- checks ----------------------------------------------------------------------------------

CHECK = {"joint": {"conductors": [{"size": "12 AWG", "count": 3}]}, "proposal": {"connector": "lever-3-port"}}
OF_A_CHECK = PROPOSAL + JOINT + KIND


def test_a_check_counts_what_it_costs_and_is_answered_alike(chooser: Chooser) -> None:
    budget = Budget(whole=OF_A_CHECK)
    assert check_splice(CHECK, chooser, budget=budget) == check_splice(CHECK, chooser)
    assert (budget.left, budget.spent) == (0, False)


def test_a_check_goes_on_only_as_long_as_somebody_waits_for_it(chooser: Chooser) -> None:
    def watch(_: int) -> None:
        raise Stopped

    with pytest.raises(Stopped):
        check_splice(CHECK, chooser, budget=Budget(watch=watch))


@pytest.mark.parametrize("keys", [str, lambda text: text.replace("proposal", "\\u0070roposal")])
def test_checks_use_up_the_work_of_a_batch(chooser: Chooser, keys: Callable[[str], str]) -> None:
    body = keys(orjson.dumps(CHECK).decode() + "\n").encode() * 8
    *answers, last = small(chooser).post("/v1/batches", data=body, content_type=NDJSON).data.splitlines()
    assert len(answers) == -(-6 * 1_000 // (LINE + OF_A_CHECK))
    assert orjson.loads(last)["problem"]["detail"].startswith(f"line {len(answers) + 1} has used up the work")
    listed = small(chooser).post("/v1/batches", json=[CHECK] * 8).json
    assert [one.get("outcome") for one in listed] == [None] * len(answers) + ["error"] * (8 - len(answers))


def test_a_catalogue_that_a_check_brings_is_counted(chooser: Chooser) -> None:
    own = {"catalogue": "trial", "connectors": [], "about": "x" * 40_000}
    asked = (
        create_app(chooser, Settings(max_work=10_000))
        .test_client()
        .post("/v1/checks", json={**CHECK, "catalogue": own})
    )
    assert asked.status_code == 422
    assert [(one["pointer"], one["code"]) for one in asked.json["errors"]] == [("/catalogue", "too-long")]


def test_the_joint_of_a_check_in_a_job_is_counted_once(chooser: Chooser) -> None:
    budgets = [Budget(whole=100_000), Budget(whole=100_000)]
    for more, budget in zip(({}, {"proposal": CHECK["proposal"]}), budgets, strict=True):
        plan_job({"joints": [{"id": "a", "joint": CHECK["joint"], **more}]}, chooser, budget)
    assert PROPOSAL <= budgets[0].left - budgets[1].left < PROPOSAL + 40  # and the bytes that say it
