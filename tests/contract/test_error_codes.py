"""Every code that an error may have is brought out by a call, and its problem has a type with a page of its own."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest
from flask.testing import FlaskClient
from werkzeug.test import TestResponse

from splicewright.api.app import create_app
from splicewright.api.examples import examples
from splicewright.api.shapes.errors import CODES
from splicewright.error_codes import CALL_CODES, PART_CODES, TEXT_CODES
from splicewright.work import Budget
from tests.contract.examples import ask
from tests.contract.schemas import faults

ENDS: dict[str, Any] = {"size": "12 AWG", "count": 2}
#: For each code of a part, a question that has it, and the other keys that its error has.
QUESTIONS: dict[str, tuple[Any, dict[str, Any]]] = {
    "missing": ({}, {}),
    "unknown-key": ({"place": {"exposur": "dry"}}, {"nearest": "exposure"}),
    "unknown-word": ({"place": {"exposure": "wett"}}, {"nearest": "wet"}),
    "unknown-name": ({"catalogue": "shopp"}, {"nearest": "shop"}),
    "wrong-type": ({"circuit": {"amps": True}}, {}),
    "out-of-range": ({"circuit": {"amps": 20_000}}, {}),
    "too-fine": ({"circuit": {"overcurrent_amps": 20.25}}, {}),
    "not-a-size": ({"joint": {"conductors": [{"size": "12"}]}}, {"allowed": ["12 AWG", "12 mm2"]}),
    "wrong-count": ({"joint": {"conductors": []}}, {}),
    "too-long": ({"id": "x" * 101}, {}),
    "twice": ({"place": {"corrosion": ["salt-air", "salt-air"]}}, {}),
    "not-valid": ({"joint": {"conductors": [{**ENDS, "insulation": ["bare", "THHN"]}]}}, {}),
}
TEXTS = {
    "not-json": (b'{"joint": {\n  "conductors" [}', {"line": 2, "column": 16}),
    "key-twice": (b'{"id": "a",\n "id": "b"}', {"line": 2, "column": 2}),
    "too-deep": (b"[" * 200 + b"]" * 200, {}),
}


@pytest.fixture(scope="module")
def client() -> FlaskClient:
    return create_app().test_client()


def errors_of(response: TestResponse, status: int) -> list[dict[str, Any]]:
    assert response.status_code == status
    told: dict[str, Any] = response.get_json()
    assert faults("Problem", told) == []
    return list(told["errors"])


@pytest.mark.parametrize("code", QUESTIONS)
def test_what_is_wrong_with_a_part_has_its_code(client: FlaskClient, code: str) -> None:
    said, more = QUESTIONS[code]
    given = said if code == "missing" else {"joint": {"conductors": [ENDS]}, **said}
    (error,) = errors_of(client.post("/v1/choices", json=given), 422)
    assert error["code"] == code
    assert {key: error[key] for key in more} == more
    assert error.get("nearest") is None or error["nearest"] in error["allowed"]


@pytest.mark.parametrize("code", TEXTS)
def test_what_is_wrong_with_a_text_has_its_code_and_place(client: FlaskClient, code: str) -> None:
    text, place = TEXTS[code]
    (error,) = errors_of(client.post("/v1/choices", data=text, content_type="application/json"), 400)
    assert error["code"] == code
    assert {key: error[key] for key in ("line", "column") if key in error} == place


def test_what_was_not_looked_for_has_its_code(client: FlaskClient, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(Budget, "allows", lambda self, question: self.unsearched.add(question) or False)
    joint = {"joint": {"conductors": [{"size": "12 AWG", "count": 2}]}, "place": {"reach": "concealed"}}
    told = client.post("/v1/boxes", json={"wires": [{"size": "12 AWG", "count": 2}], "joints": [joint]}).get_json()
    assert [one["code"] for one in told["problems"] if one["pointer"] == "/joints/0"] == ["not-searched"]


def test_every_code_of_a_part_or_text_is_brought_out_here() -> None:
    # Kept for those who branch on it: nothing has been refused so since amendments are known.
    assert QUESTIONS.keys() | {"not-searched", "not-yet"} == PART_CODES.keys()
    assert TEXTS.keys() == TEXT_CODES.keys()
    assert PART_CODES.keys() | TEXT_CODES.keys() | {code for code, _ in CALL_CODES.values()} == CODES.keys()


def shown() -> Iterator[tuple[int, dict[str, Any]]]:
    return ((one.status, ask(one).get_json()) for one in examples() if one.status >= 400)


def test_every_code_of_a_call_is_brought_out_by_an_example_and_its_type_has_a_page(client: FlaskClient) -> None:
    seen = set()
    for status, told in shown():
        code, _ = CALL_CODES[status]
        assert (told["code"], told["type"]) == (code, f"/problems/{code}")
        page = client.get(told["type"])
        assert page.status_code == 200
        assert f"Status {status}" in page.text
        seen.add(status)
    assert seen == CALL_CODES.keys()


def test_pages_tell_every_code_and_lead_to_each_other(client: FlaskClient) -> None:
    whole = client.get("/problems").text
    assert all(f"/problems/{code}" in whole for code, _ in CALL_CODES.values())
    assert all(code in client.get("/problems/not-valid").text for code in PART_CODES)
    assert all(code in client.get("/problems/not-json").text for code in TEXT_CODES)
    assert client.get("/problems/not-vaild").get_json()["errors"][0]["nearest"] == "not-valid"
