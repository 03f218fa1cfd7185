"""/openapi.json and the API page at /docs, which asks nobody but this server for anything."""

from __future__ import annotations

import functools
from pathlib import Path

import orjson
from flask import Blueprint, Response
from marshmallow import Schema
from werkzeug.exceptions import NotFound

from splicewright import shipped
from splicewright.api.operations import JSON, Operation, keep, operation
from splicewright.api.shapes.fields import ANY_MAP, by_name, raw, text

blueprint = Blueprint("docs", __name__)
_PAGE = Path(__file__).parent / "page"
_CHANGES = shipped.folder("openapi") / "CHANGES.md"
_KINDS = {
    ".html": "text/html; charset=utf-8",
    ".js": "text/javascript; charset=utf-8",
    ".css": "text/css",
    ".svg": "image/svg+xml",
    ".md": "text/plain; charset=utf-8",
}
#: The page loads what this server gives, and nothing else. Its library sets styles on elements and draws its icons
#: from data addresses; scripts only ever come from files.
_POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self' 'unsafe-inline'; img-src 'self' data:; connect-src 'self';"
    " base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
)


class DocumentShape(Schema):
    """An OpenAPI document."""

    openapi = text("Its version of OpenAPI.")
    info = raw(ANY_MAP, "What it describes.")
    paths = by_name(raw(ANY_MAP, "An address."), "Every address.")


@operation(
    blueprint,
    Operation(
        "GET",
        "/openapi.json",
        id="openapi",
        tag="Running",
        summary="This document",
        about="The OpenAPI 3.1 document that you are reading, in JSON.",
        gives={JSON: DocumentShape},
        cached=True,
    ),
)
def openapi() -> bytes:
    """Give the document."""
    return _written()


@functools.cache
def _written() -> bytes:
    from splicewright.api.openapi import document  # noqa: PLC0415 - it imports every resource, this one too

    return orjson.dumps(document())


@blueprint.get("/docs")
def page() -> Response:
    """Give the page."""
    return _file("index.html")


@blueprint.get("/docs/<name>")
def file(name: str) -> Response:
    """Give a file of the page."""
    return _file(name)


def _file(name: str) -> Response:
    files = {one.name: one for one in (*_PAGE.iterdir(), _CHANGES) if one.suffix in _KINDS and one.name != "README.md"}
    if name not in files:
        raise NotFound
    response = Response(files[name].read_bytes(), content_type=_KINDS[files[name].suffix])
    response.headers["Content-Security-Policy"] = _POLICY
    return keep(response)
