"""The embedded server with one more view, which parses JSON and returns a constant: what HTTP itself costs.

`python -m tests.bench.server` serves until it is told to stop, and says where on standard error.
"""

from __future__ import annotations

import orjson
from flask import Flask, Response, request

from splicewright.api import server
from splicewright.api.app import create_app
from splicewright.choice import Chooser
from tests.bench.over_http import REPEATED_QUESTION


def with_constant_view(chooser: Chooser) -> Flask:
    """Make the application with the view, whose constant is the brief answer to the question that is repeated."""
    app = create_app(chooser)
    constant = chooser.answer_json(REPEATED_QUESTION, explain="brief")

    @app.post("/constant")
    def _constant() -> Response:
        orjson.loads(request.get_data())
        return Response(constant, content_type="application/json")

    return app


if __name__ == "__main__":
    server.create_app = with_constant_view  # type: ignore[assignment]
    server.serve("127.0.0.1", 0)
