"""The embedded server with one more view, which parses JSON and returns a constant: what HTTP itself costs.

`python -m tests.bench.server` serves until it is told to stop, and says where on standard error.
"""

from __future__ import annotations

import orjson
from flask import Flask, Response, request

from splicewright.answering import Chooser
from splicewright.api import logs, server
from splicewright.api.app import create_app
from splicewright.api.settings import Settings
from tests.bench.over_http import REPEATED_QUESTION


def with_constant_view(chooser: Chooser, settings: Settings) -> Flask:
    """Make the application with the view, whose constant is the brief answer to the question that is repeated."""
    app = create_app(chooser, settings)
    constant = chooser.answer_json(REPEATED_QUESTION, explain="brief")

    @app.post("/constant")
    def _constant() -> Response:
        orjson.loads(request.get_data())
        return Response(constant, content_type="application/json")

    return app


if __name__ == "__main__":
    told = Settings(port=0, log_requests=False, log_format="text")
    logs.configure(told)
    answering = Chooser()
    answering.warm_up()  # as `serve` does
    server.run(with_constant_view(answering, told), told, lambda: None)
