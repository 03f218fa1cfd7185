"""Whatever is sent, the answer is an answer or a problem document: never a failure, and nothing is misread."""

from __future__ import annotations

import json
import time
from collections.abc import Iterator
from typing import Any

import orjson
import pytest
from flask.testing import FlaskClient

from splicewright.api.openapi import document
from splicewright.api.settings import Settings
from tests.api.asking import NDJSON, new_client, post
from tests.api.serving import Server, ask, serving

JOINT = {"conductors": [{"size": "12 AWG", "count": 2}]}
WIRES = [{"size": "12 AWG", "count": 2}]
#: Requests of few parts, so that answering them is quick; any other part is put in.
ASKED: dict[str, Any] = {
    "/v1/choices": {"joint": JOINT, "explain": "brief"},
    "/v1/checks": {"joint": JOINT, "explain": "brief", "proposal": {"method": "lever"}},
    "/v1/boxes": {"box": {"volume": {"value": 21, "unit": "in3"}}, "wires": WIRES, "explain": "brief"},
    "/v1/jobs": {"joints": [{"joint": JOINT}]},
}
WRONG: tuple[Any, ...] = (
    None, True, 0, -1, 3.7, 1e308, 10**30, "", "x", "3", "\u0000", "\U0010ffff" * 90,
    [], [[]], ["x"] * 1_001, [None], {}, {"": ""}, {"value": None, "unit": []},
)  # fmt: skip
LONG_TEXTS = ("9" * 200_000, "12" + " " * 200_000 + "-" + " " * 200_000 + "x")
PROBLEM = "application/problem+json"
SURROGATES = (b'"\\ud800"', b'"\\udfff x"', b'{"\\ud800": 1}', b'["\\udc00"]')


@pytest.fixture(scope="module")
def client() -> FlaskClient:
    return new_client()


def _resolved(schema: dict[str, Any]) -> dict[str, Any]:
    while "$ref" in schema:
        schema = document()["components"]["schemas"][schema["$ref"].rpartition("/")[2]]
    return schema


def places(schema: dict[str, Any], at: tuple[str | int, ...] = (), seen: tuple[str, ...] = ()) -> Iterator[Any]:
    """Give every place that a body of that schema may have, with the first place of each list."""
    name = schema.get("$ref", "")
    if name and seen.count(name):
        return
    found = _resolved(schema)
    yield at
    for key, part in found.get("properties", {}).items():
        yield from places(part, (*at, key), (*seen, name))
    if "items" in found:
        yield from places(found["items"], (*at, 0), (*seen, name))
    if isinstance(found.get("additionalProperties"), dict):
        yield from places(found["additionalProperties"], (*at, "lever-2-port"), (*seen, name))
    for one in found.get("oneOf", ()):
        yield from places(one, at, (*seen, name))


def put(body: Any, at: tuple[str | int, ...], value: Any) -> Any:
    """Give the body with a value in that place, which is made where it is not there."""
    if not at:
        return value
    key = at[0]
    if isinstance(key, int):
        some = list(body) if isinstance(body, list) and body else [None]
        return [put(some[0], at[1:], value), *some[1:]]
    whole = dict(body) if isinstance(body, dict) else {}
    return {**whole, key: put(whole.get(key), at[1:], value)}


def every_place(path: str) -> list[tuple[str | int, ...]]:
    content = document()["paths"][path]["post"]["requestBody"]["content"]["application/json"]
    return list(dict.fromkeys(places(content["schema"])))


def test_places_reach_into_every_part_of_a_request() -> None:
    found = every_place("/v1/jobs")
    assert ("joints", 0, "joint", "conductors", 0, "size") in found
    assert ("boxes", 0, "joints", 0, "place", "ambient", "unit") in found
    assert ("stock", "prices", "lever-2-port", "each") in found


@pytest.mark.slow
@pytest.mark.parametrize(
    ("path", "at"),
    [(path, at) for path in ASKED for at in every_place(path)],
    ids=lambda one: one if isinstance(one, str) else "/".join(map(str, one)) or "whole",
)
def test_wrong_value_in_any_place_is_an_answer_or_a_problem(
    client: FlaskClient, path: str, at: tuple[str | int, ...]
) -> None:
    for wrong in (*WRONG, *LONG_TEXTS):
        body = json.dumps(put(ASKED[path], at, wrong)).encode()
        response = post(client, path, body)
        assert response.status_code in (200, 400, 422), (wrong, response.text[:300])
        assert response.content_type == ("application/json" if response.status_code == 200 else PROBLEM)


@pytest.mark.parametrize("path", ASKED)
def test_half_a_character_in_any_text_is_refused(client: FlaskClient, path: str) -> None:
    for at in every_place(path):
        for text in SURROGATES:
            body = json.dumps(put(ASKED[path], at, "HERE")).encode().replace(b'"HERE"', text)
            assert post(client, path, body).status_code == 400, (at, text)


@pytest.mark.parametrize("path", ASKED)
def test_key_that_stands_twice_is_refused_at_any_depth(client: FlaskClient, path: str) -> None:
    for at in every_place(path):
        body = json.dumps(put(ASKED[path], at, {"HERE": 1})).encode().replace(b'{"HERE": 1}', b'{"size":1,"size":2}')
        assert post(client, path, body).status_code == 400, at


@pytest.mark.parametrize("path", [*ASKED, "/v1/batches"])
@pytest.mark.parametrize("name", ["Content-Type", "Accept", "Accept-Encoding", "If-None-Match", "Authorization"])
def test_odd_headers_change_no_status_to_a_failure(client: FlaskClient, path: str, name: str) -> None:
    for value in ("", ";", "application/json;;;=", "gzip;q=x, *;q=-1", '"', "W/", "Bearer", "x" * 5_000, "\u00e9"):
        headers = {"Content-Type": "application/json", name: value}
        assert client.post(path, data=b"{}", headers=headers, buffered=True).status_code in (200, 415, 422)


#: Bodies of almost the length that is taken, on which a way of reading that looks twice at what it has seen would take
#: minutes or hours.
SLOW = {
    "last-key-twice": b"{" + b",".join(b'"%d":0' % at for at in range(90_000)) + b',"89999":1}',
    "text-never-closed": b"[" * 200 + b'"' + b'\\"' * 480_000,
    "blanks-in-a-size": b'{"joint":{"conductors":[{"size":"1' + b" " * 900_000 + b'x"}]}}',
    "unknown-keys": b"{" + b",".join(b'"%d":0' % at for at in range(90_000)) + b"}",
    "long-unknown-key": b'{"' + b"joint" * 190_000 + b'":0}',
    "numbers": b'{"joint":[' + b",".join([b"1e300"] * 150_000) + b"]}",
    "digits": b'{"limit":' + b"9" * 900_000 + b"}",
}


@pytest.mark.parametrize("path", [*ASKED, "/v1/batches"])
@pytest.mark.parametrize("name", SLOW)
def test_no_body_takes_time_out_of_proportion_to_its_length(client: FlaskClient, path: str, name: str) -> None:
    began = time.process_time()
    assert post(client, path, SLOW[name]).status_code in (400, 422)
    assert time.process_time() - began < 5


# --- over real HTTP, by the embedded server --------------------------------------------------


@pytest.fixture(scope="module")
def server() -> Iterator[Server]:
    with serving() as found:
        yield found


MAX_JOB = Settings().max_job
BODIES = {
    "brackets": (b"[" * 100_000, 400),
    "braces": (b'{"a":' * 100_000, 400),
    "nan": (b'{"limit":NaN}', 400),
    "beyond-range": (b'{"limit":1e400}', 400),
    "key-twice": (b'{"id":"a","id":"b"}', 400),
    "surrogate": (b'{"id":"\\ud800"}', 400),
    "not-utf8": (b'{"id":"\xff"}', 400),
    "bom": (b"\xef\xbb\xbf{}", 400),
    "empty": (b"", 400),
    "long-text": (b'{"id":"' + b"x" * 10_000_000 + b'"}', 413),
    "long-blank": (b" " * 10_000_000, 413),
}


@pytest.mark.slow
@pytest.mark.parametrize("path", [*ASKED, "/v1/batches"])
@pytest.mark.parametrize("name", BODIES)
@pytest.mark.parametrize("chunked", [False, True], ids=["whole", "chunked"])
def test_hostile_body_over_a_connection_is_a_problem_document(
    server: Server, path: str, name: str, chunked: bool
) -> None:
    body, status = BODIES[name]
    if path == "/v1/jobs" and status == 413:
        body = body[:2] * (MAX_JOB // 2 + 1)  # it takes more than other calls do
    parts = (body[at : at + 65_536] for at in range(0, len(body), 65_536)) if chunked else body
    found = ask(server.port, "POST", path, parts)
    assert found.status == status
    assert found.headers["Content-Type"] == PROBLEM
    assert orjson.loads(found.body)["status"] == status


@pytest.mark.slow
def test_hostile_lines_over_a_connection_each_get_their_error(server: Server) -> None:
    lines = [body.replace(b"\n", b"") for name, (body, _) in BODIES.items() if name not in ("empty", "long-blank")]
    found = ask(server.port, "POST", "/v1/batches", iter([line + b"\n" for line in lines]), Content_Type=NDJSON)
    *errors, last = map(orjson.loads, found.body.splitlines())
    assert [error["line"] for error in errors] == list(range(1, len(lines) + 1))
    assert last["summary"] == {"line_count": len(lines), "answer_count": 0, "error_count": len(lines)}
