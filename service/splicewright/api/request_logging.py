"""Watches every request: gives it an id, tells it in the log, and counts it."""

from __future__ import annotations

import logging
import re
import secrets
import time
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from flask import Flask, Response, request
from werkzeug.routing import Rule

from splicewright.answering import Chooser
from splicewright.api.keys import caller
from splicewright.api.metrics import CONTENT_TYPE, Metrics
from splicewright.api.settings import Settings

_SANE_ID = re.compile(r"[A-Za-z0-9._-]{1,64}\Z")
_METHODS = frozenset({"GET", "HEAD", "POST", "PUT", "PATCH", "DELETE", "OPTIONS"})
_WATCH = "splicewright.watch"
_log = logging.getLogger("splicewright.requests")


@dataclass(slots=True)
class _Watch:
    id: str
    started: float
    length: int = 0


def new_id() -> str:
    """Make up the id of a request."""
    return secrets.token_hex(8)


def register(app: Flask, chooser: Chooser, settings: Settings) -> None:
    """Watch the requests of an application, and give its figures at /metrics."""
    metrics = Metrics(chooser)

    @app.before_request
    def _begin() -> None:
        given = request.environ.get("HTTP_X_REQUEST_ID", "")
        name = given if _SANE_ID.match(given) else new_id()
        request.environ[_WATCH] = _Watch(name, time.perf_counter())
        metrics.in_flight.inc()

    @app.after_request
    def _end(response: Response) -> Response:
        watch: _Watch | None = request.environ.get(_WATCH)
        if watch is None:
            return response
        response.headers.add("X-Request-Id", watch.id)
        if response.is_streamed:
            response.response = _measured(response.response, watch)  # type: ignore[arg-type]
        else:
            watch.length = response.content_length or 0
        method = request.method if request.method in _METHODS else "other"
        rule: Rule | None = request.url_rule
        path = rule.rule if rule is not None else "none"
        key = caller(request)
        parts: dict[str, object] = {"method": method, "path": path, "status": response.status_code}

        def ended() -> None:
            seconds = time.perf_counter() - watch.started
            metrics.in_flight.dec()
            metrics.request(method, path, response.status_code, seconds)
            if settings.log_requests:
                parts["ms"] = round(1000 * seconds, 2)
                parts["bytes"] = watch.length
                parts["key"] = None if key is None else key.name
                parts["request_id"] = watch.id
                _log.info("request", extra={"request": parts})

        response.call_on_close(ended)
        return response

    @app.get("/metrics")
    def _figures() -> Response:
        return Response(metrics.written(), content_type=CONTENT_TYPE)


def _measured(blocks: Iterable[bytes], watch: _Watch) -> Iterator[bytes]:
    for block in blocks:
        watch.length += len(block)
        yield block
