"""Clients of an application of their own, the questions they send, and what every problem document holds."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

import orjson
import yaml
from flask import Flask
from flask.testing import FlaskClient
from werkzeug.test import TestResponse

from splicewright import shipped
from splicewright.api.app import create_app
from splicewright.api.settings import Settings
from splicewright.api.shapes.errors import CODES
from splicewright.error_codes import CALL_CODES

GOOD = {"id": "x", "joint": {"conductors": [{"size": "12 AWG", "count": 2}]}}
BARRED = {**GOOD, "place": {"reach": "concealed"}}
NDJSON = "application/x-ndjson"


def new_client(**settings: Any) -> FlaskClient:
    return create_app(settings=Settings(**settings)).test_client()


def boathouse(name: str) -> Any:
    """Give one of the shipped example requests."""
    return yaml.safe_load((shipped.folder("openapi") / "examples" / f"boathouse-{name}.yaml").read_text("utf-8"))


def post(client: FlaskClient, path: str, body: Any, kind: str = "application/json") -> TestResponse:
    """Send a body, text as it stands and anything else as JSON, and read the answer to its end."""
    data = body if isinstance(body, bytes) else orjson.dumps(body)
    return client.post(path, data=data, content_type=kind, buffered=True)


def problems(response: TestResponse, status: int) -> dict[str, str]:
    """Give what a problem document of that status says by pointer, after a look at the document itself."""
    assert response.status_code == status, response.text
    assert response.content_type == "application/problem+json"
    told = response.get_json()
    assert told["status"] == status
    code, _ = CALL_CODES[status]
    assert (told["type"], told["code"]) == (f"/problems/{code}", code)
    assert told["title"]
    assert told["errors"]
    assert {error["code"] for error in told["errors"]} <= CODES.keys()
    return {error["pointer"]: error["says"] for error in told["errors"]}


class Body:
    """A body that is read as it comes; `taken` is how much of it was read."""

    def __init__(self, whole: bytes) -> None:
        self._left, self.taken = whole, 0

    def read(self, size: int = -1, /) -> bytes:
        found, self._left = self._left[:size], self._left[size:]
        self.taken += len(found)
        return found


@contextmanager
def in_chunks(app: Flask, path: str, body: Body, kind: str) -> Iterator[tuple[list[str], Iterator[bytes]]]:
    """Send a body whose length is not told, and give the status (in a list) and the answer's parts as they come."""
    environ: dict[str, Any] = {
        "REQUEST_METHOD": "POST",
        "PATH_INFO": path,
        "SERVER_NAME": "localhost",
        "SERVER_PORT": "80",
        "wsgi.url_scheme": "http",
        "CONTENT_TYPE": kind,
        "wsgi.input": body,
        "wsgi.input_terminated": True,
    }
    status: list[str] = []

    def start(line: str, *_: Any) -> Any:
        status.append(line)

    answer: Any = app(environ, start)
    try:
        yield status, iter(answer)
    finally:
        answer.close()
