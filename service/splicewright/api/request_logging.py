"""Watches every request: gives it an id, tells it in the log, and counts it."""

from __future__ import annotations

import logging
import re
import secrets
import time
from collections.abc import Iterable, Iterator
from typing import Any

from flask import Response

from splicewright.answering import Chooser
from splicewright.api.keys import Key
from splicewright.api.metrics import Metrics
from splicewright.api.settings import Settings
from splicewright.api.under_way import UnderWay

_SANE_ID = re.compile(r"[A-Za-z0-9._-]{1,64}\Z")
_METHODS = frozenset({"GET", "HEAD", "POST", "PUT", "PATCH", "DELETE", "OPTIONS"})
_log = logging.getLogger("splicewright.requests")


def new_id() -> str:
    """Make up the id of a request."""
    return secrets.token_hex(8)


class Call:
    """One request under way."""

    __slots__ = ("id", "key", "length", "method", "path", "started", "status", "under_way")

    def __init__(self, environ: dict[str, Any]) -> None:
        """Begin with what was sent."""
        given = environ.get("HTTP_X_REQUEST_ID", "")
        self.id: str = given if _SANE_ID.match(given) else new_id()
        self.started = time.perf_counter()
        method = environ["REQUEST_METHOD"]
        self.method: str = method if method in _METHODS else "other"
        self.path = "none"  # as it is routed
        self.key: Key | None = None  # one that holds, where keys are asked for
        self.under_way: UnderWay | None = None
        self.status = self.length = 0


class RequestLog:
    """What is told of the requests of one application."""

    def __init__(self, chooser: Chooser, settings: Settings) -> None:
        """Count from nothing."""
        self.metrics = Metrics(chooser)
        self._lines = settings.log_requests

    def begin(self, environ: dict[str, Any]) -> Call:
        """Watch a request from now on."""
        self.metrics.in_flight.inc()
        return Call(environ)

    @staticmethod
    def measure(call: Call, response: Response) -> None:
        """Note what the answer is, and count its bytes as they are sent."""
        call.status = response.status_code
        if response.is_streamed:
            response.response = _measured(response.response, call)  # type: ignore[arg-type]
        else:
            call.length = response.content_length or 0

    def end(self, call: Call) -> None:
        """Tell of a request that has been answered."""
        seconds = time.perf_counter() - call.started
        self.metrics.in_flight.dec()
        self.metrics.request(call.method, call.path, call.status, seconds)
        if self._lines and _log.isEnabledFor(logging.INFO):
            parts = {
                "method": call.method,
                "path": call.path,
                "status": call.status,
                "ms": round(1000 * seconds, 2),
                "bytes": call.length,
                "key": None if call.key is None else call.key.name,
                "request_id": call.id,
            }
            # Made here, since the library would look where in the program each line comes from.
            line = logging.LogRecord(_log.name, logging.INFO, "", 0, "request", None, None)
            line.request = parts
            _log.handle(line)


def _measured(blocks: Iterable[bytes], call: Call) -> Iterator[bytes]:
    for block in blocks:
        call.length += len(block)
        yield block
