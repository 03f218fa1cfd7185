"""POST /v1/checks: verdicts over the application."""

from __future__ import annotations

import pytest
from flask.testing import FlaskClient

from tests.api.asking import GOOD, boathouse, new_client, post, problems


@pytest.fixture
def client() -> FlaskClient:
    return new_client()


def test_unsound_splice_has_its_violations_and_what_would_be_sound(client: FlaskClient) -> None:
    told = post(client, "/v1/checks", boathouse("check-unsound")).get_json()
    assert told["verdict"] == "unsound"
    assert "/proposal/connector" in [violation["at"][0] for violation in told["violations"] if "at" in violation]
    assert told["options"]


def test_what_is_not_said_leaves_a_splice_unproven(client: FlaskClient) -> None:
    told = post(client, "/v1/checks", {**GOOD, "proposal": {"method": "twist-on"}}).get_json()
    assert told["verdict"] == "unproven"
    assert told["violations"] == []
    assert all(one["asks"].startswith("/proposal/") for one in told["unproven"] if "asks" in one)


def test_splice_with_all_said_is_sound(client: FlaskClient) -> None:
    assert post(client, "/v1/checks", boathouse("check")).get_json()["verdict"] == "sound"


def test_brief_check_counts_what_is_confirmed(client: FlaskClient) -> None:
    told = post(client, "/v1/checks?explain=brief", boathouse("check")).get_json()
    assert told["counts"]["confirmed"] > 0
    assert not {"confirmed", "rules"} & told.keys()


def test_check_tells_what_is_confirmed_where_that_is_asked_for(client: FlaskClient) -> None:
    told = post(client, "/v1/checks?include=confirmed", boathouse("check")).get_json()
    assert len(told["confirmed"]) == told["counts"]["confirmed"] > 0


def test_check_itself_decides_how_much_is_told(client: FlaskClient) -> None:
    told = post(client, "/v1/checks?explain=brief", {**boathouse("check"), "explain": "full"}).get_json()
    assert told["rules"]


def test_every_wrong_part_is_told_at_once(client: FlaskClient) -> None:
    asked = {"joint": {"conductors": [{"size": "12"}]}, "proposal": {"method": "twist-onn", "tugged": "perhaps"}}
    told = problems(post(client, "/v1/checks", asked), 422)
    assert set(told) == {"/joint/conductors/0/size", "/proposal/method", "/proposal/tugged"}
    assert "did you mean 'twist-on'?" in told["/proposal/method"]


def test_question_without_a_proposal_is_no_check(client: FlaskClient) -> None:
    assert list(problems(post(client, "/v1/checks", GOOD), 422)) == ["/proposal"]
