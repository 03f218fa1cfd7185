"""Which statuses each operation may give, with which headers, as the API's document tells it."""

from __future__ import annotations

from typing import Any

from apispec import APISpec

from splicewright.api.api_prose import ERRORS, HEADERS
from splicewright.api.examples import examples
from splicewright.api.keys import ASK, OPEN, needed_scope
from splicewright.api.limits import UNCOUNTED
from splicewright.api.operations import Operation
from splicewright.api.problems import PROBLEM

#: Who may call where an operation says nothing of it: anyone, of a server that asks for no keys.
SECURITY: list[dict[str, list[str]]] = [{}, {"key": [ASK]}]
_EVERY_ANSWER = ("X-Request-Id", "Cache-Control")
_MORE = {
    304: ("ETag",),
    401: ("WWW-Authenticate",),
    405: ("Allow",),
    415: ("Accept-Encoding",),
    429: ("Retry-After",),
    503: ("Retry-After",),
}


def describe(spec: APISpec, problem: dict[str, Any]) -> None:
    """Add every header and every error to a document. `problem` refers to the schema of problem documents."""
    for name, about, schema in HEADERS.values():
        spec.components.header(name, {"description": about, "required": True, "schema": schema})
    for status, (name, about) in ERRORS.items():
        told = {example.name: example.of_answer() for example in examples() if example.status == status}
        content = {PROBLEM: {"schema": problem, **({"examples": told} if told else {})}}
        spec.components.response(name, {"description": about, "headers": headers(status), "content": content})


def errors(operation: Operation) -> list[int]:
    """Give every status beyond 2xx and 3xx that an operation may give."""
    found = {*operation.errors, 422, 500}
    if operation.path not in OPEN:
        found |= {401, 403}
    if operation.path not in UNCOUNTED:
        found.add(429)
    if operation.cached:
        found.add(412)
    if operation.asks:
        found |= {400, 413, 415, 503}
    return sorted(found)


def responses(operation: Operation, answer: dict[str, Any]) -> dict[str, Any]:
    """Write every response of an operation. `answer` describes the good one, all but its headers."""
    found = {"200": {**answer, "headers": headers(200, kept=operation.cached)}}
    if operation.cached:
        found["304"] = {"description": "What `If-None-Match` names still holds.", "headers": headers(304)}
    return found | {
        str(status): {"$ref": f"#/components/responses/{ERRORS[status][0]}"} for status in errors(operation)
    }


def headers(status: int, *, kept: bool = False) -> dict[str, Any]:
    """Refer to the headers of an answer. `kept`: clients may keep it."""
    names = (*_EVERY_ANSWER, *(("ETag",) if kept else ()), *_MORE.get(status, ()))
    return {name: {"$ref": f"#/components/headers/{HEADERS[name][0]}"} for name in names}


def security(operation: Operation) -> dict[str, Any]:
    """Say who may call an operation where it is not as for most."""
    if operation.path in OPEN:
        return {"security": []}
    scope = needed_scope(operation.path)
    return {} if scope in (None, ASK) else {"security": [{"key": [scope]}]}
