"""Each operation gives every status that the document has for it and no other, with the headers that it has for it."""

from __future__ import annotations

import hashlib
import logging
from collections.abc import Iterator
from contextlib import ExitStack
from typing import Any

import jsonschema_rs
import orjson
import pytest
from flask import Flask
from flask.testing import FlaskClient
from werkzeug.test import TestResponse

from splicewright.answering import Chooser
from splicewright.api.app import create_app
from splicewright.api.examples import Example, examples
from splicewright.api.keys import Keys
from splicewright.api.openapi import document
from splicewright.api.operations import JSON, OPERATIONS, Operation
from splicewright.api.problems import PROBLEM
from splicewright.api.reload import NotRenewed
from splicewright.api.settings import Settings
from splicewright.api.under_way import LONG_BODY
from tests.contract.examples import ask
from tests.contract.schemas import faults

#: Headers that the document has to tell of wherever they are sent.
TOLD = {"X-Request-Id", "Cache-Control", "ETag", "Retry-After", "WWW-Authenticate", "Allow", "Accept-Encoding"}
EVERY = [one for some in OPERATIONS.values() for one in some]
RELOADED = {"status": "reloaded", "rulesets": {}, "catalogues": {}}
KEYS = {"asking": "[ask]", "admin": "[admin]"}


class NotReady(Chooser):
    def engine(self, *_: Any, **__: Any) -> Any:
        raise OSError("made to fail")


@pytest.fixture(scope="module")
def chooser() -> Chooser:
    return Chooser()


@pytest.fixture(scope="module")
def keys(tmp_path_factory: pytest.TempPathFactory) -> Keys:
    path = tmp_path_factory.mktemp("keys") / "keys.yaml"
    digests = {name: hashlib.sha256(name.encode()).hexdigest() for name in KEYS}
    lines = [f"  - {{name: {name}, sha256: {digests[name]}, scopes: {scopes}}}\n" for name, scopes in KEYS.items()]
    path.write_text("".join(["keys:\n", *lines]))
    return Keys(path)


class Asked:
    """Calls of one operation that bring out each of its answers."""

    def __init__(self, operation: Operation, chooser: Chooser, keys: Keys) -> None:
        self.one, self.chooser, self.keys = operation, chooser, keys
        shown = next((example for example in examples() if example.operation == operation.id), None)
        self.path = operation.path
        for name, value in (shown.paths if shown else {}).items():
            self.path = self.path.replace(f"<{name}>", value)
        self.kind = next(iter(operation.asks), None)
        self.body = _body(shown) if shown and operation.asks else None
        self.admin = operation.id == "reload"

    def app(self, chooser: Chooser | None = None, *, renew: Any = lambda: RELOADED, **settings: Any) -> Flask:
        return create_app(
            chooser or self.chooser, Settings(**settings), asked=self.keys if self.admin else None, renew=renew
        )

    def call(self, app: Flask, path: str | None = None, *, read: bool = True, **given: Any) -> TestResponse:
        sent = {"data": self.body, "content_type": self.kind, "headers": {}, "buffered": read, **given}
        if self.admin and "Authorization" not in sent["headers"]:
            sent["headers"] = {"Authorization": "Bearer admin", **sent["headers"]}
        return FlaskClient(app).open(path or self.path, method=self.one.method, **sent)

    def answers(self) -> Iterator[TestResponse]:
        app = self.app()
        yield self.call(app)
        yield self.call(app, f"{self.path}?unknown=1")
        yield self.call(app, f"{self.path}%20x")
        locked = create_app(self.chooser, asked=self.keys, renew=lambda: RELOADED)
        for sent in ({"Authorization": "Bearer wrong"}, {"Authorization": f"Bearer {self.other_key()}"}):
            yield self.call(locked, headers=sent)
        busy = self.app(rate="1/minute")
        yield from (self.call(busy) for _ in range(2))
        yield from (self.call(app, headers={name: '"another"'}) for name in ("If-Match", "If-None-Match"))
        yield self.call(app, headers={"If-None-Match": "*"})
        for body in (b"{", b"{}", b"[3]", b" " * 5_000):
            yield self.call(app, data=body, content_type=JSON)
        yield self.call(self.app(max_body=10, max_job=10, max_batch=10), data=b" " * 100)
        yield self.call(app, content_type="text/plain", data=b"x")
        yield self.call(self.app(NotReady())) if self.one.id == "ready" else self.call(app)
        yield from self.while_another_is_under_way()
        yield from self.of_the_operator()
        app.view_functions = dict.fromkeys(app.view_functions, _fail)
        yield self.call(app)

    def while_another_is_under_way(self) -> Iterator[TestResponse]:
        app = self.app(threads=1)
        long = {} if self.body is None else {"data": self.body + b" " * LONG_BODY}
        with ExitStack() as held:
            held.callback(self.call(app, read=False, **long).close)
            yield self.call(app, **long)

    def of_the_operator(self) -> Iterator[TestResponse]:
        yield self.call(create_app(self.chooser))
        yield self.call(self.app(renew=_not_renewed))

    def other_key(self) -> str:
        return "asking" if self.admin else "admin"


def _body(shown: Example) -> bytes:
    return shown.text.encode() if shown.text is not None else orjson.dumps(shown.send)


def _fail(**_: str) -> None:
    raise RuntimeError("made to fail")


def _not_renewed() -> None:
    raise NotRenewed(["x.yaml:3: is bad"])


def documented(path: str, method: str) -> dict[str, Any]:
    """Give the responses that the document has for an operation, by their statuses."""
    components = document()["components"]["responses"]
    found = document()["paths"][path.replace("<", "{").replace(">", "}")][method.lower()]["responses"]
    return {
        status: components[one["$ref"].rpartition("/")[2]] if "$ref" in one else one for status, one in found.items()
    }


def headers_at_fault(response: TestResponse, told: dict[str, Any]) -> list[str]:
    """Give what is wrong with the headers of an answer by those that the document tells of."""
    sent = {name for name in TOLD if name in response.headers}
    found = [f"{response.status}: {name} is not as told" for name in sorted(sent ^ set(told["headers"]))]
    for name in sent & set(told["headers"]):
        schema = document()["components"]["headers"][told["headers"][name]["$ref"].rpartition("/")[2]]["schema"]
        value: Any = response.headers[name]
        value = int(value) if schema["type"] == "integer" else value
        if not jsonschema_rs.is_valid(schema, value):
            found.append(f"{response.status}: {name}: {value}")
    return found


@pytest.mark.parametrize("one", EVERY, ids=lambda one: one.id)
def test_operation_gives_what_the_document_has_for_it_and_nothing_else(
    one: Operation, chooser: Chooser, keys: Keys, caplog: pytest.LogCaptureFixture
) -> None:
    caplog.set_level(logging.CRITICAL)  # what is made to fail is no news
    told, seen, wrong = documented(one.path, one.method), set(), []
    for response in Asked(one, chooser, keys).answers():
        status = str(response.status_code)
        if status == "404" and "there is nothing at" in response.text:
            continue  # another address, and so no answer of this operation
        seen.add(status)
        if status in told:
            wrong += headers_at_fault(response, told[status])
        if response.status_code >= 400:
            assert response.content_type == PROBLEM
            wrong += faults("Problem", response.get_json())
    assert wrong == []
    assert seen == set(told)


@pytest.mark.parametrize("example", [one for one in examples() if one.status >= 400], ids=lambda one: one.name)
def test_error_has_the_headers_that_the_document_has_for_it(example: Example) -> None:
    name = next(
        name for name, response in document()["components"]["responses"].items() if example.name in shown(response)
    )
    assert headers_at_fault(ask(example), document()["components"]["responses"][name]) == []


def shown(response: dict[str, Any]) -> dict[str, Any]:
    found: dict[str, Any] = response["content"][PROBLEM]["examples"]
    return found


def test_every_header_that_is_told_is_told_by_its_name_once() -> None:
    headers = document()["components"]["headers"]
    assert len(headers) == len(TOLD)
    assert all(header["description"] and header["required"] for header in headers.values())
