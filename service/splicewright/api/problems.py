"""Errors as RFC 9457 problem details, with a JSON Pointer for each thing wrong."""

from __future__ import annotations

from collections.abc import Iterable
from http import HTTPStatus
from typing import Any

import orjson
from flask import Flask, Response
from werkzeug.exceptions import HTTPException

from splicewright.reading import NotText, Problem, Refused


def problem(status: int, detail: str, errors: Iterable[Problem] = ()) -> Response:
    """Write one problem document."""
    body: dict[str, Any] = {
        "type": "about:blank",
        "title": HTTPStatus(status).phrase,
        "status": status,
        "detail": detail,
    }
    body["errors"] = [{"pointer": one.pointer, "says": one.says} for one in errors]
    return Response(orjson.dumps(body), status, content_type="application/problem+json")


def register(app: Flask) -> None:
    """Make every error of an application a problem document."""

    @app.errorhandler(NotText)
    def _not_text(error: NotText) -> Response:
        return problem(400, "the body is not JSON", error.problems)

    @app.errorhandler(Refused)
    def _refused(error: Refused) -> Response:
        return problem(422, "this is not a valid question", error.problems)

    @app.errorhandler(HTTPException)
    def _http(error: HTTPException) -> Response:
        response = problem(error.code or 500, error.description or "")
        for name, value in error.get_headers():
            if name.lower() == "allow":
                response.headers[name] = value
        return response
