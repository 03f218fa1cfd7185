"""Every error is a problem document that says what to do instead."""

from __future__ import annotations

import pytest
from flask.testing import FlaskClient

from tests.api.asking import GOOD, new_client, post, problems

CALLS = ("/v1/choices", "/v1/checks", "/v1/boxes", "/v1/jobs", "/v1/batches")


@pytest.fixture
def client() -> FlaskClient:
    return new_client()


@pytest.mark.parametrize(
    ("path", "says"),
    [
        ("/v1/choice", "did you mean /v1/choices?"),
        ("/v1/catalogue", "did you mean /v1/catalogues?"),
        ("/nothing/like/it", "see /openapi.json, or /docs"),
        ("/docs/../secret", ""),
        ("/docs/LICENSE", ""),
    ],
)
def test_address_with_nothing_at_it_names_the_nearest(client: FlaskClient, path: str, says: str) -> None:
    assert says in problems(client.get(path), 404)[""]


@pytest.mark.parametrize("path", CALLS)
@pytest.mark.parametrize("method", ["GET", "PUT", "DELETE", "PATCH"])
def test_other_methods_are_told_which_to_use(client: FlaskClient, path: str, method: str) -> None:
    response = client.open(path, method=method)
    assert problems(response, 405) == {"": f"{method} is not taken here; use POST"}
    assert "POST" in response.headers["Allow"]


@pytest.mark.parametrize("path", CALLS)
def test_body_of_another_type_is_told_which_to_send(client: FlaskClient, path: str) -> None:
    assert "application/json" in problems(post(client, path, GOOD, "text/plain"), 415)[""]


@pytest.mark.parametrize("path", CALLS)
@pytest.mark.parametrize("kind", ["application/json; charset=utf-8", "application/vnd.ours+json"])
def test_types_that_are_json_are_taken(client: FlaskClient, path: str, kind: str) -> None:
    assert post(client, path, b"{}", kind).status_code == 422


@pytest.mark.parametrize("path", CALLS)
@pytest.mark.parametrize(
    "body",
    [b"", b"{", b"\xff\xfe", b'{"a":NaN}', b'{"a":1e400}', b'{"a":-Infinity}', b'{"a":1,"a":2}', b"[" * 100_000],
    ids=["empty", "open", "not-utf8", "nan", "beyond-range", "infinite", "key-twice", "brackets"],
)
def test_body_that_is_not_json_is_refused(client: FlaskClient, path: str, body: bytes) -> None:
    problems(post(client, path, body), 400)


@pytest.mark.parametrize("path", CALLS)
def test_body_too_long_is_refused_with_the_limit(client: FlaskClient, path: str) -> None:
    most = "20,000,000" if path == "/v1/jobs" else "1,000,000"
    told = problems(post(client, path, b'"' + b"x" * 20_000_000 + b'"'), 413)
    assert told == {"": f"the body is longer than {most} bytes"}


@pytest.mark.parametrize("path", CALLS)
def test_limit_is_the_one_that_the_server_is_set_to(path: str) -> None:
    set_so = new_client(**{"max_job" if path == "/v1/jobs" else "max_body": 100})
    assert problems(post(set_so, path, b" " * 101), 413) == {"": "the body is longer than 100 bytes"}


def test_many_wrong_parts_are_all_told_each_with_its_place(client: FlaskClient) -> None:
    asked = {
        "joint": {"conductors": [{"size": "12 AWG"}, {"size": "13 mm", "count": "2"}], "a/b~c": 1},
        "place": {"exposure": "drry"},
        "limit": 0,
    }
    told = problems(post(client, "/v1/choices", asked), 422)
    assert set(told) == {
        "/joint/conductors/1/size",
        "/joint/conductors/1/count",
        "/joint/a~1b~0c",
        "/place/exposure",
        "/limit",
    }
    assert "did you mean 'dry'?" in told["/place/exposure"]


CALLS = ("/v1/choices", "/v1/checks", "/v1/boxes", "/v1/jobs", "/v1/batches")


@pytest.mark.parametrize("path", CALLS)
@pytest.mark.parametrize("charset", ["latin-1", "utf-16", "x"])
def test_body_in_another_charset_is_refused_by_name(path: str, charset: str) -> None:
    response = new_client().post(path, data=b"{}", content_type=f"application/json; charset={charset}")
    assert repr(charset) in problems(response, 415)[""]
    assert response.headers["Accept-Encoding"] == "identity"


@pytest.mark.parametrize("charset", ["utf-8", "UTF-8", '"utf-8"', "us-ascii"])
def test_body_that_is_said_to_be_utf_8_is_read(charset: str) -> None:
    body = b'{"joint": {"conductors": [{"size": "12 AWG", "count": 2}]}}'
    response = new_client().post("/v1/choices", data=body, content_type=f"application/json; charset={charset}")
    assert response.status_code == 200


@pytest.mark.parametrize("path", CALLS)
@pytest.mark.parametrize("encoding", ["gzip", "br", "deflate", "x"])
def test_body_that_is_encoded_is_refused_by_name(path: str, encoding: str) -> None:
    response = new_client().post(path, json={}, headers={"Content-Encoding": encoding})
    assert repr(encoding) in problems(response, 415)[""]


def test_body_that_is_said_to_be_as_it_is_is_read() -> None:
    response = new_client().post("/v1/choices", json={}, headers={"Content-Encoding": "identity"})
    assert problems(response, 422) == {"/joint": "is required"}
