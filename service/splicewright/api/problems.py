"""Errors as RFC 9457 problem details, with a JSON Pointer for each thing wrong."""

from __future__ import annotations

from http import HTTPStatus
from typing import Any

import orjson
from flask import Flask, Response, current_app, request
from werkzeug.exceptions import HTTPException, InternalServerError, MethodNotAllowed, NotFound, UnsupportedMediaType
from werkzeug.routing import RequestRedirect

from splicewright.error_codes import CALL_CODES
from splicewright.nearest_word import nearest
from splicewright.refusals import NotText, Problem, Refused, Says, told

PROBLEM = "application/problem+json"
PAGES = "/problems/"


def problem(status: int, detail: str, error: Refused | None = None) -> Response:
    """Write one problem document."""
    return Response(orjson.dumps(problem_plain(status, detail, error)), status, content_type=PROBLEM)


def problem_plain(status: int, detail: str, error: Refused | None = None) -> dict[str, Any]:
    """Give a problem document as plain data. Without `error`, its one error is the whole, as `detail` says it."""
    code, _ = CALL_CODES.get(status, CALL_CODES[400 if status < HTTPStatus.INTERNAL_SERVER_ERROR else 500])
    says = detail if isinstance(detail, Says) else Says(detail, code)
    return {
        "type": f"{PAGES}{code}",
        "title": HTTPStatus(status).phrase,
        "status": status,
        "detail": str(detail),
        "code": code,
        "errors": told(error or Refused([Problem("", says)])),
    }


def register(app: Flask) -> None:
    """Make every error of an application a problem document."""

    @app.errorhandler(NotText)
    def _not_text(error: NotText) -> Response:
        return problem(400, "the body is not JSON", error)

    @app.errorhandler(Refused)
    def _refused(error: Refused) -> Response:
        return problem(422, "the request is not valid", error)

    @app.errorhandler(HTTPException)
    def _http(error: HTTPException) -> Response:
        if isinstance(error, RequestRedirect):  # to the address without its doubled slashes
            error = NotFound()
        response = problem(error.code or 500, _says(error))
        for name, value in error.get_headers():
            if name.lower() in ("allow", "retry-after", "www-authenticate"):
                response.headers[name] = value
        if isinstance(error, UnsupportedMediaType):
            response.headers["Accept-Encoding"] = "identity"  # RFC 9110: what of these would be read
        return response


def _says(error: HTTPException) -> str:
    if isinstance(error, NotFound) and error.description == NotFound.description:
        guess = nearest(request.path, _addresses())
        more = f"did you mean {guess}?" if guess else "see /openapi.json, or /docs"
        return Says(f"there is nothing at {request.path[:100]}; {more}", "not-found", guess)
    if isinstance(error, MethodNotAllowed):
        allowed = sorted({*(error.valid_methods or ())} - {"HEAD", "OPTIONS"})
        says = f"{request.method[:20]} is not taken here; use {' or '.join(allowed)}"
        return Says(says, "wrong-method", None, allowed)
    if isinstance(error, InternalServerError):
        return "the server failed; nothing about the request is known to be wrong, and the server's log says more"
    return error.description or ""


def _addresses() -> list[str]:
    return sorted({rule.rule.replace("<", "{").replace(">", "}") for rule in current_app.url_map.iter_rules()})
