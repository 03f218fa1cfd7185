"""What anyone would write first: a Flask view that parses JSON and returns a constant, by the stock server.

`python -m tests.bench.plain_server` serves until it is told to stop, and says where on standard error. It knows nothing
of the project but the bytes that it returns, which it is given on standard input.
"""

from __future__ import annotations

import sys

import orjson
from flask import Flask, Response, request
from waitress import create_server


def application(constant: bytes) -> Flask:
    """Make the application."""
    app = Flask(__name__)

    @app.post("/constant")
    def _constant() -> Response:
        orjson.loads(request.get_data())
        return Response(constant, content_type="application/json")

    return app


if __name__ == "__main__":
    server = create_server(application(sys.stdin.buffer.read()), host="127.0.0.1", port=0)
    sys.stderr.write(f"http://127.0.0.1:{server.effective_port}\n")
    sys.stderr.flush()
    server.run()
