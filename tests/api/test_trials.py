"""Trials over HTTP: who may, how much, one at a time, and faults at the file that was sent."""

from __future__ import annotations

from typing import Any

import pytest
from flask.testing import FlaskClient

from splicewright.api import trials
from splicewright.trials.trying import TrialBusy, TrialFaults
from tests.api.asking import new_client
from tests.house_rule import LEVERS

ASKED = {"files": [{"name": "a.yaml", "text": "a: 1"}, {"name": "b.yaml", "text": "b: 1"}]}


@pytest.fixture(scope="module")
def client() -> FlaskClient:
    return new_client()


def give(monkeypatch: pytest.MonkeyPatch, outcome: Any) -> None:
    def tried(*_: Any) -> Any:
        if isinstance(outcome, Exception):
            raise outcome
        return outcome

    monkeypatch.setattr(trials, "try_files", tried)


def test_faults_stand_at_the_text_of_their_file(client: FlaskClient, monkeypatch: pytest.MonkeyPatch) -> None:
    fault = {"file": "b.yaml", "line": 3, "part": "mind", "says": "no such word", "write": "bar"}
    give(monkeypatch, TrialFaults((fault, {"file": "", "line": 0, "part": "", "says": "brought down"})))
    answer = client.post("/v1/trials", json=ASKED)
    assert (answer.status_code, answer.content_type) == (422, "application/problem+json")
    first, second = answer.get_json()["errors"]
    assert first == {
        "pointer": "/files/1/text",
        "says": "no such word",
        "code": "not-valid",
        "nearest": "bar",
        "line": 3,
        "file": "b.yaml",
        "rule": "mind",
        "write": "bar",
    }
    assert second == {"pointer": "", "says": "brought down", "code": "not-valid"}


def test_what_is_wrong_with_a_joint_stands_at_the_joint(client: FlaskClient) -> None:
    check = {"joint": {"conductors": [{"size": "14 AWG", "count": 3}]}, "proposal": {"connector": "lever-3-prt"}}
    for more, at in (({"questions": [check]}, "/questions/0"), ({"job": {"joints": [check]}}, "/job/joints/0")):
        answer = client.post("/v1/trials", json={"files": [{"name": "our-firm.yaml", "text": LEVERS}], **more})
        assert answer.status_code == 422
        (error,) = answer.get_json()["errors"]
        assert (error["pointer"], error["nearest"]) == (f"{at}/proposal/connector", "lever-3-port")
        assert "file" not in error


def test_a_hundred_faults_are_told_and_the_rest_counted(client: FlaskClient, monkeypatch: pytest.MonkeyPatch) -> None:
    fault = {"file": "a.yaml", "line": 1, "part": "", "says": "wrong"}
    give(monkeypatch, TrialFaults((fault,) * 130))
    errors = client.post("/v1/trials", json=ASKED).get_json()["errors"]
    assert (len(errors), errors[-1]["says"]) == (101, "and 30 more; mend those that are told first")


def test_another_one_meanwhile_is_told_to_wait(client: FlaskClient, monkeypatch: pytest.MonkeyPatch) -> None:
    give(monkeypatch, TrialBusy())
    answer = client.post("/v1/trials", json=ASKED)
    assert (answer.status_code, answer.headers["Retry-After"]) == (503, "5")


@pytest.mark.parametrize(
    ("body", "status", "pointer"),
    [
        ({}, 422, "/files"),
        ({"files": []}, 422, "/files"),
        ({"files": [{"name": "a.yaml"}]}, 422, "/files/0/text"),
        ({"files": ASKED["files"], "code": "nfpa70-2021"}, 422, "/code"),
        ({"files": ASKED["files"] * 3}, 422, "/files"),
        ({"files": [{"name": "a.yaml", "text": "x" * 250_001}]}, 422, "/files/0/text"),
        ({"files": [{"name": "a.yaml", "text": "x" * 400_001}]}, 413, ""),
    ],
)
def test_what_is_no_trial_is_refused(
    client: FlaskClient, monkeypatch: pytest.MonkeyPatch, body: Any, status: int, pointer: str
) -> None:
    give(monkeypatch, {})
    answer = client.post("/v1/trials", json=body)
    assert (answer.status_code, answer.get_json()["errors"][0]["pointer"]) == (status, pointer)
