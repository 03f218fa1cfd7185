"""What every answer says of itself; calls from other sites' pages; compression."""

from __future__ import annotations

import gzip

import pytest
from flask.testing import FlaskClient

from splicewright.api.app import create_app
from splicewright.api.settings import Settings

QUESTION = {"joint": {"conductors": [{"size": "12 AWG", "count": 2}]}}
ORIGIN = "https://estimates.example"
ZIPPED = {"Accept-Encoding": "gzip"}


@pytest.fixture
def client() -> FlaskClient:
    return create_app().test_client()


@pytest.mark.parametrize("path", ["/health/live", "/v1/rules", "/v1/nothing", "/metrics", "/docs"])
def test_every_answer_has_the_headers(client: FlaskClient, path: str) -> None:
    headers = client.get(path).headers
    assert headers["X-Content-Type-Options"] == "nosniff"
    assert headers["Referrer-Policy"] == "no-referrer"
    assert "frame-ancestors 'none'" in headers["Content-Security-Policy"]


def test_answers_are_not_kept_unless_they_say_so(client: FlaskClient) -> None:
    assert client.post("/v1/choices", json=QUESTION).headers["Cache-Control"] == "no-store"
    assert client.get("/v1/nothing").headers["Cache-Control"] == "no-store"
    assert "max-age" in client.get("/v1/rules").headers["Cache-Control"]


def test_each_header_is_said_once(client: FlaskClient) -> None:
    names = [name for name, _ in client.get("/docs").headers]
    assert sorted(names) == sorted(set(names))


def test_other_sites_pages_may_not_call_by_default(client: FlaskClient) -> None:
    assert "Access-Control-Allow-Origin" not in client.get("/v1/rules", headers={"Origin": ORIGIN}).headers


def test_named_origin_may_call_and_another_may_not() -> None:
    client = create_app(settings=Settings(origins=(ORIGIN,))).test_client()
    asked = {
        "Origin": ORIGIN,
        "Access-Control-Request-Method": "POST",
        "Access-Control-Request-Headers": "Authorization",
    }
    allowed = client.options("/v1/choices", headers=asked).headers
    assert allowed["Access-Control-Allow-Origin"] == ORIGIN
    assert "Authorization" in allowed["Access-Control-Allow-Headers"]
    other = client.options("/v1/choices", headers={**asked, "Origin": "https://other.example"}).headers
    assert "Access-Control-Allow-Origin" not in other


def test_answer_is_compressed_for_who_asks(client: FlaskClient) -> None:
    plain = client.post("/v1/choices", json=QUESTION)
    zipped = client.post("/v1/choices", json=QUESTION, headers=ZIPPED)
    assert "Content-Encoding" not in plain.headers
    assert zipped.headers["Content-Encoding"] == "gzip"
    assert gzip.decompress(zipped.data) == plain.data
    assert len(zipped.data) < len(plain.data) / 3


def test_small_answer_is_not_compressed(client: FlaskClient) -> None:
    assert "Content-Encoding" not in client.get("/health/live", headers=ZIPPED).headers


def test_compression_may_be_turned_off() -> None:
    client = create_app(settings=Settings(compress_from=0)).test_client()
    assert "Content-Encoding" not in client.post("/v1/choices", json=QUESTION, headers=ZIPPED).headers


def test_streamed_lines_are_never_compressed(client: FlaskClient) -> None:
    lines = b'{"joint": {"conductors": [{"size": "12 AWG", "count": 2}]}}\n' * 20
    answer = client.post("/v1/batches", data=lines, content_type="application/x-ndjson", headers=ZIPPED)
    assert "Content-Encoding" not in answer.headers
    assert answer.data.count(b"\n") == 21


def test_compressed_answer_that_a_client_has_is_not_sent_again(client: FlaskClient) -> None:
    first = client.get("/v1/rules", headers=ZIPPED)
    again = client.get("/v1/rules", headers={**ZIPPED, "If-None-Match": first.headers["ETag"]})
    assert again.status_code == 304
    assert not again.data
