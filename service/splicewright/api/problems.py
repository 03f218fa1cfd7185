"""Errors as RFC 9457 problem details, with a JSON Pointer for each thing wrong."""

from __future__ import annotations

from collections.abc import Iterable
from http import HTTPStatus
from typing import Any

import orjson
from flask import Flask, Response, current_app, request
from werkzeug.exceptions import HTTPException, InternalServerError, MethodNotAllowed, NotFound
from werkzeug.routing import RequestRedirect

from splicewright.nearest_word import nearest
from splicewright.reading import NotText, Problem, Refused

PROBLEM = "application/problem+json"


def problem(status: int, detail: str, errors: Iterable[Problem] = ()) -> Response:
    """Write one problem document."""
    return Response(orjson.dumps(problem_plain(status, detail, errors)), status, content_type=PROBLEM)


def problem_plain(status: int, detail: str, errors: Iterable[Problem] = ()) -> dict[str, Any]:
    """Give a problem document as plain data. Without `errors`, its one error is the whole, as `detail` says it."""
    told = list(errors) or [Problem("", detail)]
    return {
        "type": "about:blank",
        "title": HTTPStatus(status).phrase,
        "status": status,
        "detail": detail,
        "errors": [{"pointer": one.pointer, "says": one.says} for one in told],
    }


def register(app: Flask) -> None:
    """Make every error of an application a problem document."""

    @app.errorhandler(NotText)
    def _not_text(error: NotText) -> Response:
        return problem(400, "the body is not JSON", error.problems)

    @app.errorhandler(Refused)
    def _refused(error: Refused) -> Response:
        return problem(422, "the request is not valid", error.problems)

    @app.errorhandler(HTTPException)
    def _http(error: HTTPException) -> Response:
        if isinstance(error, RequestRedirect):  # to the address without its doubled slashes
            error = NotFound()
        response = problem(error.code or 500, _says(error))
        for name, value in error.get_headers():
            if name.lower() in ("allow", "retry-after", "www-authenticate"):
                response.headers[name] = value
        return response


def _says(error: HTTPException) -> str:
    if isinstance(error, NotFound) and error.description == NotFound.description:
        guess = nearest(request.path, _addresses())
        return f"there is nothing at {request.path[:100]}; " + (
            f"did you mean {guess}?" if guess else "see /openapi.json, or /docs"
        )
    if isinstance(error, MethodNotAllowed):
        allowed = sorted({*(error.valid_methods or ())} - {"HEAD", "OPTIONS"})
        return f"{request.method[:20]} is not taken here; use {' or '.join(allowed)}"
    if isinstance(error, InternalServerError):
        return "the server failed; nothing about the request is known to be wrong, and the server's log says more"
    return error.description or ""


def _addresses() -> list[str]:
    return sorted({rule.rule.replace("<", "{").replace(">", "}") for rule in current_app.url_map.iter_rules()})
