"""POST /v1/boxes: fill and joints over the application."""

from __future__ import annotations

import pytest
from flask.testing import FlaskClient

from tests.api.asking import boathouse, new_client, post, problems


@pytest.fixture
def client() -> FlaskClient:
    return new_client()


def test_fill_is_reckoned_and_every_joint_is_answered(client: FlaskClient) -> None:
    asked = boathouse("box")
    told = post(client, "/v1/boxes", asked).get_json()
    assert told["fits"] is True
    total = sum(allowance["total"]["in3"] for allowance in told["allowances"])
    assert told["required"]["in3"] == pytest.approx(total)
    assert [joint["id"] for joint in told["joints"]] == [joint["id"] for joint in asked["joints"]]


def test_box_that_is_too_small_names_those_that_would_do(client: FlaskClient) -> None:
    asked = {"box": {"volume": {"value": 8, "unit": "in3"}}, "wires": [{"count": 6, "size": "12 AWG"}]}
    told = post(client, "/v1/boxes", asked).get_json()
    assert told["fits"] is False
    needed = told["required"]["in3"]
    assert told["smallest"]
    assert all(one["volume"]["in3"] >= needed for one in told["smallest"])


def test_bad_joint_gets_its_errors_and_spoils_no_other(client: FlaskClient) -> None:
    asked = boathouse("box")
    asked["joints"][1] = {"id": "wrong", "joint": {"conductors": [{"size": "12 awgs"}]}}
    hot, wrong, grounding = post(client, "/v1/boxes", asked).get_json()["joints"]
    assert (hot["outcome"], grounding["outcome"]) == ("options", "options")
    assert wrong["id"] == "wrong"
    assert [error["pointer"] for error in wrong["errors"]] == ["/joints/1/joint/conductors/0/size"]


def test_wrong_parts_of_the_box_itself_are_told_at_once(client: FlaskClient) -> None:
    asked = {"box": {"volume": {"value": 21, "unit": "in4"}}, "wires": [{"size": "12 AWG", "count": 0}]}
    assert set(problems(post(client, "/v1/boxes", asked), 422)) == {"/box/volume/unit", "/wires/0/count"}
