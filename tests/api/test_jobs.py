"""POST /v1/jobs: takeoff and stock plan over the application, shaped as the document says."""

from __future__ import annotations

import copy
from typing import Any

import pytest
from flask.testing import FlaskClient

from tests.api.asking import boathouse, new_client, post, problems
from tests.contract.schemas import faults


@pytest.fixture
def client() -> FlaskClient:
    return new_client()


def plan(client: FlaskClient, job: Any) -> Any:
    response = post(client, "/v1/jobs", job)
    assert response.status_code == 200, response.text
    told = response.get_json()
    assert faults("JobAnswer", told) == []
    return told


def test_problems_come_first_and_name_their_joints(client: FlaskClient) -> None:
    told = plan(client, boathouse("job"))
    assert list(told)[:3] == ["id", "answer", "problems"]
    assert {problem["outcome"] for problem in told["problems"]} >= {"barred", "refer"}


def test_takeoff_counts_every_joint_that_is_made(client: FlaskClient) -> None:
    told = plan(client, boathouse("job"))
    used = sum(use["count"] for joint in told["joints"] for use in joint.get("connectors", ()))
    assert sum(line["count"] for line in told["takeoff"]) == used == told["counts"]["made"]


def test_stock_plan_is_proven_and_names_its_alternatives(client: FlaskClient) -> None:
    told = plan(client, boathouse("job"))["stock_plan"]
    assert told["proven_optimal"] is True
    assert set(told["alternatives"]) == {"fewer", "more"}


def test_job_without_a_stock_has_no_plan(client: FlaskClient) -> None:
    job = {key: value for key, value in boathouse("job").items() if key != "stock"}
    assert "stock_plan" not in plan(client, job)


def test_bad_joints_and_boxes_are_problems_and_spoil_no_other(client: FlaskClient) -> None:
    job = boathouse("job")
    whole = plan(client, job)
    spoiled = copy.deepcopy(job)
    spoiled["joints"] += [3, {"id": "wrong", "joint": {"conductors": [{"size": "12 awgs"}]}}]
    spoiled["boxes"].append({"id": "wrong box", "wires": 3})
    told = plan(client, spoiled)
    count = len(job["joints"])
    in_error = {problem["pointer"]: problem for problem in told["problems"] if problem["outcome"] == "error"}
    assert set(in_error) == {f"/joints/{count}", f"/joints/{count + 1}", f"/boxes/{len(job['boxes'])}"}
    pointers = [error["pointer"] for error in in_error[f"/joints/{count + 1}"]["errors"]]
    assert pointers == [f"/joints/{count + 1}/joint/conductors/0/size"]
    assert told["takeoff"] == whole["takeoff"]


def test_full_job_with_splits_and_the_least_cost_is_as_the_document_says(client: FlaskClient) -> None:
    job = {**boathouse("job"), "explain": "full", "split_overfilled": True}
    job["stock"] = {**job["stock"], "aim": "least-cost"}
    told = plan(client, job)
    assert "split" in {joint["outcome"] for joint in told["joints"]}


def test_what_was_not_judged_is_told_with_a_pointer_into_the_job(client: FlaskClient) -> None:
    pair = {"conductors": [{"size": "12 AWG", "count": 2}]}
    box = {"wires": [{"size": "12 AWG", "count": 2}], "joints": [{"joint": pair, "circuit": {"amps": 8}}]}
    told = plan(client, {"joints": [{"joint": pair}], "boxes": [box]})
    asked = {(one["concern"], one["asks"], one["joint_count"]) for one in told["judged"] if "asks" in one}
    assert asked >= {
        ("overcurrent", "/joints/0/circuit/overcurrent_amps", 2),
        ("ampacity", "/joints/0/circuit/amps", 2),
        ("box-room", "/boxes/0/box", 1),
    }


def test_boxes_that_cannot_be_are_as_the_document_says(client: FlaskClient) -> None:
    small = {"box": {"volume": {"value": 3, "unit": "in3"}}, "wires": [{"size": "12 AWG", "count": 9}]}
    unknown = {"box": {"volume": {"value": 90, "unit": "in3"}}, "wires": [{"size": "250 kcmil", "count": 2}]}
    told = plan(client, {"boxes": [small, unknown]})
    assert {problem["outcome"] for problem in told["problems"]} >= {"box-too-small", "box-not-judged"}


def test_wrong_parts_of_the_job_itself_are_told_at_once(client: FlaskClient) -> None:
    job = {"joints": [], "code": "nfpa70-2032", "stock": {"aim": "fewest", "spare_percent": 101}}
    told = problems(post(client, "/v1/jobs", job), 422)
    assert set(told) == {"/code", "/stock/aim", "/stock/spare_percent"}
    assert "did you mean" in told["/code"]


def test_connector_that_is_not_in_the_catalogue_is_named_with_the_nearest(client: FlaskClient) -> None:
    job = {"joints": [{"joint": {"conductors": [{"size": "12 AWG", "count": 2}]}}], "stock": {"carry": ["levr-3-port"]}}
    assert "lever-3-port" in problems(post(client, "/v1/jobs", job), 422)["/stock/carry/0"]


def test_whole_job_may_be_longer_than_a_question() -> None:
    client = new_client(max_body=2_000, max_job=20_000)
    joints = [{"joint": {"conductors": [{"size": "12 AWG", "count": 2}]}}] * 100
    assert post(client, "/v1/jobs", {"joints": joints}).status_code == 200
    problems(post(client, "/v1/jobs", {"joints": joints * 10}), 413)
    problems(post(client, "/v1/choices", {"joints": joints}), 413)
