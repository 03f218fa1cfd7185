"""One declaration for each operation: it routes, reads the query, writes the answer, and documents all of that."""

from __future__ import annotations

import functools
import hashlib
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from http import HTTPStatus
from typing import Any, cast

import orjson
from flask import Blueprint, Response, current_app, request
from marshmallow import Schema
from werkzeug.exceptions import PreconditionFailed
from werkzeug.wsgi import ClosingIterator

from splicewright.answering import Chooser
from splicewright.api.shapes.fields import OneOf
from splicewright.memo import Memo
from splicewright.refusals import Problem, Refused, Says
from splicewright.strict_fields import CommaWords
from splicewright.strict_schema import Strict, load

JSON = "application/json"
NDJSON = "application/x-ndjson"
Shape = type[Schema] | OneOf
Written = bytes | dict[str, Any] | Response
_CACHE_S = 300
#: What queries said that were right; views change nothing of it.
_QUERIES: Memo[tuple[type[Strict], bytes], dict[str, Any]] = Memo(1_000)
_LONGEST_QUERY = 500


class NoQuery(Strict):
    """An address without parameters."""


@dataclass(frozen=True)
class Operation:
    """What the API's document says of one operation, and what its view is held to."""

    method: str
    path: str  # as Flask writes it
    id: str
    tag: str
    summary: str
    about: str
    gives: dict[str, Shape]  # media type: what a good answer holds
    asks: dict[str, Shape] = field(default_factory=dict)  # media type: what the body must hold
    query: type[Strict] = NoQuery
    errors: tuple[int, ...] = ()  # statuses of its own, beyond those that follow from the other parts
    paths: dict[str, str] = field(default_factory=dict)  # part of the path: what it names
    cached: bool = False  # whether a client may keep the answer, and ask whether it still holds


#: blueprint -> the operations that its views were declared to be
OPERATIONS: dict[str, list[Operation]] = {}


def operation(blueprint: Blueprint, declared: Operation) -> Callable[[Callable[..., Written]], Callable[..., Response]]:
    """Route a view as declared. It is called with the parts of the path and of the query, by their names.

    It may give JSON text, plain data, or a whole response. Raises `Refused` for a query that is not as declared.
    """
    OPERATIONS.setdefault(blueprint.name, []).append(declared)
    query = declared.query()

    def wrap(view: Callable[..., Written]) -> Callable[..., Response]:
        @functools.wraps(view)
        def called(**parts: str) -> Response:
            return _response(view(**parts, **read_query(query)), cached=declared.cached)

        blueprint.add_url_rule(declared.path, declared.id, called, methods=[declared.method])
        return called

    return wrap


def chooser() -> Chooser:
    """Give the chooser that this application answers from."""
    found: Chooser = current_app.extensions["chooser"]
    return found


def read_query(schema: Strict) -> dict[str, Any]:
    """Read the parameters of the address that is asked. Raises `Refused`."""
    written = request.query_string
    if (known := _QUERIES.get((type(schema), written))) is not None:
        return known
    found = _read_query(schema)
    return _QUERIES.keep((type(schema), written), found) if len(written) <= _LONGEST_QUERY else found


def _read_query(schema: Strict) -> dict[str, Any]:
    given = request.args.to_dict(flat=False)
    for name, values in given.items():
        if isinstance(schema.fields.get(name), CommaWords):  # made clients give a list's words one by one
            given[name] = [",".join(values)]
    twice = [
        Problem("", Says(f"?{name}: is given {len(values)} times", "twice"))
        for name, values in given.items()
        if len(values) > 1
    ]
    try:
        found: dict[str, Any] = load(schema, {name: values[0] for name, values in given.items()})
    except Refused as error:
        wrong = [Problem("", _of_parameter(one)) for one in error.problems]
        raise Refused([*twice, *wrong]) from None
    if twice:
        raise Refused(twice)
    return found


def _of_parameter(problem: Problem) -> str:
    before = f"?{problem.pointer.removeprefix('/')}: "
    return problem.says.within(before) if isinstance(problem.says, Says) else before + problem.says


class Answer(Response):
    """A good answer, whose headers are whole as they are: nothing of them is worked out once more."""

    def __call__(self, environ: dict[str, Any], start_response: Any) -> Any:
        """Send it."""
        if self.status_code != HTTPStatus.OK or environ["REQUEST_METHOD"] == "HEAD":
            return super().__call__(environ, start_response)
        start_response(self.status, self.headers.to_wsgi_list())
        return ClosingIterator(cast("Iterable[bytes]", self.response), self.close)


def _response(written: Written, *, cached: bool) -> Response:
    if isinstance(written, Response):
        return written
    body = written if isinstance(written, bytes) else orjson.dumps(written)
    response = Answer(body, content_type=JSON)
    if cached:
        keep(response)
    return response


def keep(response: Response, tag: str | None = None) -> Response:
    """Let clients keep a response, and answer 304 to one that has it already; `tag` is what it is known by.

    What was asked for with a key is for that client alone: a cache between us hands it to nobody else. Raises 412.
    """
    response.set_etag(tag or hashlib.sha256(response.get_data()).hexdigest()[:32])
    if "Authorization" in request.headers:
        response.cache_control.private = True
    else:
        response.cache_control.public = True
    response.cache_control.max_age = _CACHE_S
    response.cache_control.must_revalidate = True
    response.make_conditional(request)
    if response.status_code == HTTPStatus.PRECONDITION_FAILED:
        raise PreconditionFailed(f"what `If-Match` names is not there; there is {response.headers['ETag']}")
    return response
