"""What every operation shares: what may be kept, what has not changed, HEAD, compression, queries."""

from __future__ import annotations

import gzip
import re

import pytest
from flask.testing import FlaskClient

from splicewright.api.operations import OPERATIONS
from tests.api.asking import GOOD, new_client, post, problems

KEPT = (
    "/v1/rules",
    "/v1/rules/environment/buried-is-wet",
    "/v1/amendments",
    "/v1/catalogues",
    "/v1/catalogues/shop",
    "/v1/catalogues/shop/lever-3-port",
    "/v1/vocabulary",
    "/openapi.json",
    "/",
    "/page/ask.js",
    "/docs",
    "/docs/page.js",
    "/problems",
    "/problems/not-valid",
    "/rules",
    "/rules/environment",
)


@pytest.fixture
def client() -> FlaskClient:
    return new_client()


def test_all_that_is_looked_up_may_be_kept() -> None:
    looked_up = {one.path: one.cached for some in OPERATIONS.values() for one in some if one.method == "GET"}
    now = {path for path in looked_up if path.startswith("/health/")}
    assert {path for path, kept in looked_up.items() if kept} == looked_up.keys() - now
    addresses = [re.sub("<.*?>", ".+", path) for path in looked_up.keys() - now]
    assert [address for address in addresses if not any(re.fullmatch(address, kept) for kept in KEPT)] == []


@pytest.mark.parametrize("path", KEPT)
def test_answer_says_how_long_it_may_be_kept(client: FlaskClient, path: str) -> None:
    response = client.get(path)
    assert response.headers["Cache-Control"] == "public, max-age=300, must-revalidate"
    assert response.headers["ETag"]


@pytest.mark.parametrize("path", KEPT)
def test_what_was_asked_for_with_a_key_is_kept_for_nobody_else(client: FlaskClient, path: str) -> None:
    kept = client.get(path, headers={"Authorization": "Bearer x"}).headers["Cache-Control"]
    assert kept == "private, max-age=300, must-revalidate"


@pytest.mark.parametrize("compressed", [False, True])
@pytest.mark.parametrize("path", KEPT)
def test_who_has_the_answer_is_told_that_it_still_holds(client: FlaskClient, path: str, compressed: bool) -> None:
    headers = {"Accept-Encoding": "gzip"} if compressed else {}
    tag = client.get(path, headers=headers).headers["ETag"]
    again = client.get(path, headers={**headers, "If-None-Match": tag})
    assert (again.status_code, again.data) == (304, b"")
    assert again.headers["ETag"] == tag
    assert client.get(path, headers={**headers, "If-None-Match": '"another"'}).status_code == 200


def test_tag_differs_where_the_answer_does(client: FlaskClient) -> None:
    paths = ["/v1/rules", "/v1/rules?code=nfpa70-2017", "/v1/rules?ruleset=grounding"]
    assert len({client.get(path).headers["ETag"] for path in paths}) == len(paths)


@pytest.mark.parametrize("path", KEPT)
def test_head_gives_the_headers_of_the_answer_alone(client: FlaskClient, path: str) -> None:
    whole, head = client.get(path), client.head(path)
    assert (head.status_code, head.data) == (200, b"")
    for name in ("Content-Type", "Content-Length", "ETag", "Cache-Control"):
        assert head.headers[name] == whole.headers[name]


def test_answers_to_questions_are_not_kept(client: FlaskClient) -> None:
    response = post(client, "/v1/choices", GOOD)
    assert response.headers["Cache-Control"] == "no-store"
    assert "ETag" not in response.headers


def test_long_answers_are_compressed_for_who_asks(client: FlaskClient) -> None:
    plain = client.get("/v1/rules")
    small = client.get("/v1/rules", headers={"Accept-Encoding": "gzip"})
    assert small.headers["Content-Encoding"] == "gzip"
    assert "Accept-Encoding" in small.headers["Vary"]
    assert len(small.data) < len(plain.data) / 3
    assert gzip.decompress(small.data) == plain.data


@pytest.mark.parametrize("path", ["/v1/catalogues", "/v1/rules/environment/buried-is-wet", "/openapi.json"])
def test_unknown_parameter_is_refused_and_the_nearest_named(client: FlaskClient, path: str) -> None:
    assert "?cod: " in problems(client.get(f"{path}?cod=x"), 422)[""]


@pytest.mark.parametrize("path", ["/v1/choices", "/v1/checks", "/v1/batches"])
def test_explain_takes_its_two_words_only(client: FlaskClient, path: str) -> None:
    told = problems(post(client, f"{path}?explain=breif", GOOD), 422)[""]
    assert told == "?explain: \"breif\" is not known; did you mean 'brief'?"
