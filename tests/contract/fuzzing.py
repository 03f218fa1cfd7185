"""The API's document as a source of requests, good and bad, and what is checked of every answer.

FUZZ_EXAMPLES=2000 python -m pytest -q tests/contract/test_fuzzing.py
"""

from __future__ import annotations

import hashlib
import os
import tempfile
from pathlib import Path
from typing import Any
from wsgiref.types import StartResponse, WSGIApplication, WSGIEnvironment

import schemathesis
from schemathesis.config import SchemathesisConfig
from schemathesis.specs.openapi.schemas import OpenApiSchema

from splicewright.api.app import create_app
from splicewright.api.keys import Keys
from splicewright.api.operations import NDJSON
from splicewright.api.settings import Settings

EXAMPLES = int(os.environ.get("FUZZ_EXAMPLES", "4"))
KEY = "a-key-for-everything"
#: Joints and lines are read one by one, so that a bad one spoils no other: a body with a bad part is answered.
_PART_BY_PART = ("batch", "fillBox", "drawBox", "planJob")
#: Some things that are refused cannot be said in a schema; the document names them in its words.
_CONFIG: dict[str, Any] = {
    "checks": {
        "positive_data_acceptance": {"expected-statuses": ["2xx", 404, 422]},
        "negative_data_rejection": {"expected-statuses": ["4xx"]},  # too long a list may be too long a body first: 413
    },
    "operations": [
        {
            "include-operation-id": name,
            "checks": {"negative_data_rejection": {"expected-statuses": ["2xx", "4xx"]}},
        }
        for name in _PART_BY_PART
    ]
    # each trial starts a process: what is made of the document at random is tried, and not each bound of each part
    + [{"include-operation-id": "tryFiles", "phases": {"coverage": {"enabled": False}}}],
    "auth": {"openapi": {"key": {"bearer": KEY}}},
}


@schemathesis.serializer(NDJSON)
def _as_lines(_context: Any, value: Any) -> bytes:
    return value if isinstance(value, bytes) else str(value).encode("utf-8", "surrogatepass")


class _ReadToTheEnd:
    """Reads and closes every answer, as a server does; the client of these tests leaves that out."""

    def __init__(self, app: WSGIApplication) -> None:
        self._app = app

    def __call__(self, environ: WSGIEnvironment, start_response: StartResponse) -> list[bytes]:
        found: Any = self._app(environ, start_response)
        try:
            return [b"".join(found)]
        finally:
            found.close()


def schema() -> OpenApiSchema:
    """Give the document as it is served by an application of its own, which sends nothing compressed.

    It asks for keys, and the requests have one that may do everything. Nothing is really reloaded.
    """
    with tempfile.NamedTemporaryFile("w", suffix=".yaml") as file:
        digest = hashlib.sha256(KEY.encode()).hexdigest()
        file.write(f"keys:\n  - {{name: fuzzing, sha256: {digest}, scopes: [ask, admin, try]}}\n")
        file.flush()
        keys = Keys(Path(file.name))
    reloaded = {"status": "reloaded", "rulesets": {}, "catalogues": {}}
    app = _ReadToTheEnd(create_app(settings=Settings(compress_from=0), asked=keys, renew=lambda: reloaded))
    return schemathesis.openapi.from_wsgi("/openapi.json", app, config=SchemathesisConfig.from_dict(_CONFIG))
