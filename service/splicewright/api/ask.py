"""The page to ask on, at `/`: files that stand as they are, and ask this service alone."""

from __future__ import annotations

import functools
import hashlib
from dataclasses import dataclass
from pathlib import Path

from flask import Blueprint, Response
from werkzeug.exceptions import NotFound

from splicewright.api.operations import keep

blueprint = Blueprint("ask", __name__)
_FOLDER = Path(__file__).parent / "ask_page"
_FIRST = "index.html"
_KINDS = {
    ".html": "text/html; charset=utf-8",
    ".js": "text/javascript; charset=utf-8",
    ".css": "text/css; charset=utf-8",
}
#: Nothing but what this service gives, and no script or style that does not stand in a file.
_POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; connect-src 'self'; img-src 'self' data:;"
    " form-action 'none'; base-uri 'none'; frame-ancestors 'none'"
)


@dataclass(frozen=True, slots=True)
class _File:
    content: bytes
    kind: str
    tag: str


@blueprint.get("/")
def page() -> Response:
    """Give the page."""
    return _given(_FIRST)


@blueprint.get("/page/<name>")
def file(name: str) -> Response:
    """Give a file of the page."""
    return _given(name)


def _given(name: str) -> Response:
    found = _files().get(name)
    if found is None:
        raise NotFound
    response = Response(found.content, content_type=found.kind)
    response.headers["Content-Security-Policy"] = _POLICY
    return keep(response, found.tag)


@functools.cache
def _files() -> dict[str, _File]:
    """Read the files once; what they are known by is worked out once too."""
    found = {}
    for path in sorted(_FOLDER.iterdir()):
        if path.suffix in _KINDS:
            content = path.read_bytes()
            found[path.name] = _File(content, _KINDS[path.suffix], hashlib.sha256(content).hexdigest()[:32])
    return found
