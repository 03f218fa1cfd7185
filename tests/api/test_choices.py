"""POST /v1/choices over the application: answers, and every error as a problem document."""

from __future__ import annotations

import orjson
import pytest
from flask.testing import FlaskClient

from splicewright.api.app import create_app
from splicewright.api.settings import Settings
from tests.api.asking import Body, in_chunks

GOOD = {"id": "x", "joint": {"conductors": [{"size": "12 AWG", "count": 2}]}}


@pytest.fixture
def client() -> FlaskClient:
    return create_app().test_client()


def test_question_is_answered(client: FlaskClient) -> None:
    response = client.post("/v1/choices", json=GOOD)
    assert response.status_code == 200
    assert response.content_type == "application/json"
    assert response.get_json()["id"] == "x"


def test_brief_may_be_asked_for_in_the_address(client: FlaskClient) -> None:
    assert "rules" not in client.post("/v1/choices?explain=brief", json=GOOD).get_json()


@pytest.mark.parametrize("query", ["include=rules,demands", "include=demands&include=rules"])
def test_what_to_include_may_be_asked_for_in_the_address(client: FlaskClient, query: str) -> None:
    told = client.post(f"/v1/choices?{query}", json=GOOD).get_json()
    assert {"rules", "demands"} <= told.keys()
    assert not {"findings", "refusals", "method_bars"} & told.keys()
    assert told == client.post("/v1/choices?explain=full", json={**GOOD, "include": ["rules", "demands"]}).get_json()


def test_what_to_include_beside_all_is_all(client: FlaskClient) -> None:
    whole = client.post("/v1/choices", json=GOOD).get_json()
    assert client.post("/v1/choices?explain=full&include=rules", json=GOOD).get_json() == whole


@pytest.mark.parametrize(("query", "body"), [("?include=rules,demnds", {}), ("", {"include": ["rules", "demnds"]})])
def test_name_that_can_not_be_included_is_refused_with_the_nearest(
    client: FlaskClient, query: str, body: dict[str, list[str]]
) -> None:
    response = client.post(f"/v1/choices{query}", json={**GOOD, **body})
    assert response.status_code == 422
    (error,) = orjson.loads(response.data)["errors"]
    assert "did you mean 'demands'?" in error["says"]
    assert error["pointer"] == ("/include/1" if body else "")


def test_only_narrows_to_what_is_carried(client: FlaskClient) -> None:
    only = {"connectors": ["lever-2-port", "push-in-2-port"], "methods": ["lever"]}
    told = client.post("/v1/choices?explain=brief", json={**GOOD, "only": only}).get_json()
    assert [one["connector"] for one in told["options"]] == ["lever-2-port"]
    assert told["counts"]["not_carried"] > 0


@pytest.mark.parametrize(
    ("body", "kind", "status"),
    [
        (b"{", "application/json", 400),
        (b"[" * 100_000, "application/json", 400),
        (b'{"a":NaN}', "application/json", 400),
        (b'{"a":1e999}', "application/json", 400),
        (b'{"a":1,"a":2}', "application/json", 400),
        (b"", "application/json", 400),
        (b"\xff", "application/json", 400),
        (b"null", "application/json", 422),
        (b"[]", "application/json", 422),
        (b'{"joint":"x"}', "application/json", 422),
        (orjson.dumps(GOOD), "text/plain", 415),
        (orjson.dumps(GOOD), "application/yaml", 415),
        (b'"' + b"x" * Settings().max_body + b'"', "application/json", 413),
    ],
)
def test_bad_request_is_a_problem_document(client: FlaskClient, body: bytes, kind: str, status: int) -> None:
    response = client.post("/v1/choices", data=body, content_type=kind)
    assert response.status_code == status
    assert response.content_type == "application/problem+json"
    told = orjson.loads(response.data)
    assert told["status"] == status
    assert told["title"]


def test_invalid_question_names_its_pointer_and_nearest_word(client: FlaskClient) -> None:
    response = client.post("/v1/choices", json={**GOOD, "place": {"exposure": "burried"}})
    assert response.status_code == 422
    (error,) = orjson.loads(response.data)["errors"]
    assert error == {
        "pointer": "/place/exposure",
        "says": "\"burried\" is not known; did you mean 'buried'?",
        "code": "unknown-word",
        "nearest": "buried",
        "allowed": ["dry", "damp", "wet", "buried", "submerged"],
    }


def test_unknown_explain_is_refused(client: FlaskClient) -> None:
    assert client.post("/v1/choices?explain=breif", json=GOOD).status_code == 422


def test_chunked_body_beyond_the_limit_is_refused_not_cut() -> None:
    body = Body(b'{"id": "' + b"x" * 10_000_000 + b'"}')
    with in_chunks(create_app(), "/v1/choices", body, "application/json") as (status, parts):
        assert orjson.loads(b"".join(parts))["status"] == 413
    assert status == ["413 REQUEST ENTITY TOO LARGE"]
    assert body.taken < Settings().max_body + 100_000


@pytest.mark.parametrize(
    ("method", "path", "status"), [("GET", "/v1/choices", 405), ("GET", "/v1/none", 404), ("POST", "/none", 404)]
)
def test_wrong_address_or_method_is_a_problem_document(
    client: FlaskClient, method: str, path: str, status: int
) -> None:
    response = client.open(path, method=method)
    assert response.status_code == status
    assert response.content_type == "application/problem+json"


def test_live_and_ready_tell_what_is_used(client: FlaskClient) -> None:
    assert client.get("/health/live").get_json() == {"status": "live"}
    ready = client.get("/health/ready").get_json()
    assert ready["status"] == "ready"
    assert ready["rulesets"]["digest"].startswith("sha256:")
    assert ready["catalogue"]["name"] == "shop"
