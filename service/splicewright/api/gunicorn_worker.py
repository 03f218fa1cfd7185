"""How a gunicorn process takes requests: as strictly as the embedded server, and without telling the log what was sent.

gunicorn writes a malformed line of a header into its log, and a key may stand there.
"""

from __future__ import annotations

from collections.abc import Iterator
from http import HTTPStatus
from typing import Any

import orjson
from gunicorn.http.body import ChunkedReader
from gunicorn.http.errors import (
    ExpectationFailed,
    InvalidChunkSize,
    LimitRequestHeaders,
    LimitRequestLine,
    ParseException,
    UnsupportedTransferCoding,
)
from gunicorn.workers.gthread import ThreadWorker
from werkzeug.exceptions import BadRequest

from splicewright.api.well_formed import malformed

_STATUSES: dict[type[ParseException], int] = {
    LimitRequestLine: 414,
    ExpectationFailed: 417,
    LimitRequestHeaders: 431,
    UnsupportedTransferCoding: 501,
}
_SPARE, _AROUND = 65_536, 5  # bytes that the sizes and line ends of any body may have, and that one chunk's have


class Malformed(ParseException):  # type: ignore[misc]
    """A request that is read otherwise elsewhere. Its text says what is wrong, not what was sent."""


class Worker(ThreadWorker):  # type: ignore[misc]
    """A process with threads."""

    def handle_request(self, req: Any, conn: Any) -> Any:
        """Answer a request, unless its head is malformed."""
        sent: dict[str, list[str]] = {}
        for name, value in req.headers:
            sent.setdefault(name, []).append(value)
        codings = sent.get("TRANSFER-ENCODING", [])
        wrong = malformed(req.version, req.uri, sent.get("HOST", []), codings, measured="CONTENT-LENGTH" in sent)
        if wrong:
            raise Malformed(wrong)
        return super().handle_request(req, conn)

    def handle_error(self, req: Any, client: Any, addr: Any, exc: BaseException) -> None:
        """Answer what is no HTTP request with a problem document."""
        if not isinstance(exc, ParseException):
            super().handle_error(req, client, addr, exc)
            return
        # Only now: the metrics library looks at the environment when it is imported, and the master prepares that.
        from splicewright.api.problems import PROBLEM, problem_plain  # noqa: PLC0415
        from splicewright.api.request_logging import new_id  # noqa: PLC0415

        status = next((code for kind, code in _STATUSES.items() if isinstance(exc, kind)), 400)
        name = new_id()
        self.log.warning("no call, answered by %d: %s", status, name)
        says = str(exc) if isinstance(exc, Malformed) else "the head of the request is malformed"
        body = orjson.dumps(problem_plain(status, says))
        head = (
            f"HTTP/1.1 {status} {HTTPStatus(status).phrase}\r\nConnection: close\r\nContent-Type: {PROBLEM}\r\n"
            f"X-Request-Id: {name}\r\nContent-Length: {len(body)}\r\n\r\n"
        )
        try:
            client.sendall(head.encode() + body)
        except OSError:
            self.log.debug("the client has gone")


class StrictBodies:
    """Passes calls on to an application that is told of malformed chunks as it is of other bad requests."""

    def __init__(self, application: Any) -> None:
        self._application = application

    def __call__(self, environ: dict[str, Any], start_response: Any) -> Any:
        """Pass a call on."""
        environ["wsgi.input"] = _Body(environ["wsgi.input"])
        return self._application(environ, start_response)


class _Body:
    def __init__(self, body: Any) -> None:
        self._body = body
        reader = getattr(body, "reader", None)
        if isinstance(reader, ChunkedReader):
            reader.parser = _no_crumbs(reader.parser)

    def read(self, size: int = -1) -> bytes:
        """Give at most `size` bytes. Raises 400 where the chunks are malformed."""
        try:
            found: bytes = self._body.read(size)
        except ParseException:
            raise BadRequest("the chunks of the body are malformed") from None
        return found


def _no_crumbs(parts: Iterator[bytes]) -> Iterator[bytes]:
    around = taken = 0
    for part in parts:
        around += _AROUND
        taken += len(part)
        if around > _SPARE + 4 * taken:
            raise InvalidChunkSize("the chunks are too small")
        yield part
