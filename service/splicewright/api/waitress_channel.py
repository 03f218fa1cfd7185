"""The connections of the server: a client that stalls holds up nobody else.

The server's library is right in most of this. What is changed here: a thread never waits between two requests of a
client that does not take its answers; its own errors are problem documents; a 304 keeps its connection; an answer
leaves with its header; the loop does not go round while a thread sends, and is woken where it has something to do.
"""

from __future__ import annotations

import logging
import os
import socket
import sys
import time
from contextlib import suppress
from http import HTTPStatus
from typing import Any, cast

import orjson
from waitress.channel import ClientDisconnected, HTTPChannel
from waitress.task import ErrorTask, WSGITask
from waitress.utilities import Error, InternalServerError

from splicewright.api.headers import ALWAYS
from splicewright.api.limits import UNCOUNTED
from splicewright.api.problems import PROBLEM, problem_plain
from splicewright.api.request_logging import new_id
from splicewright.api.under_way import CONNECTION
from splicewright.api.waitress_parser import Parser

#: Bytes of answers not yet taken by a client beyond which no further request of it is looked at.
MOST_UNTAKEN = 16_777_216
#: Seconds in which the head of a request has to have come, and the first bytes of a body; then bytes a second of it.
IN_TIME_S, LEAST_RATE = 15.0, 1_000
#: Seconds beyond `patience` for which a connection that asks nothing is kept: longer than a proxy in front keeps it, so
#: that it is never closed under a request on its way.
IDLE_S = 15.0
_AGAIN_S = 10  # seconds after which one that found no room may ask again
#: Seconds for which a client is listened to that was refused while it was sending, and the most bytes of it.
LINGER_S, _MOST_DROPPED = 2.0, 200_000_000
_DROPPED_AT_ONCE = 262_144


_log = logging.getLogger(__name__)


class AnswerTask(WSGITask):
    """Answers a request."""

    def write(self, data: Any) -> None:
        """Write a part of the answer; the first leaves together with the header."""
        if self.wrote_header:
            super().write(data)
            return
        channel = cast("Channel", self.channel)
        held: list[bytes] = []
        channel.held = held
        try:
            super().write(data)
        finally:
            channel.held = None
        channel.write_soon(b"".join(held))

    def get_environment(self) -> dict[str, Any]:
        """Give what the application is told, with the connection that the call came by."""
        environ: dict[str, Any] = super().get_environment()
        environ[CONNECTION] = cast("Channel", self.channel).socket
        return environ

    def set_close_on_finish(self) -> None:
        """Close the connection after this answer, but not because it has no body (a 304): its end is known then too."""
        asked = cast("Any", self.request).headers.get("CONNECTION", "").lower() == "close"
        if self.has_body or self.version != "1.1" or asked:
            super().set_close_on_finish()


class ProblemTask(ErrorTask):
    """Answers what is no HTTP request, or one too large, with a problem document."""

    def execute(self) -> None:
        """Write the answer and close the connection."""
        error = cast("Any", self.request).error
        name = new_id()
        _log.warning("no call, answered by %d: %s", error.code, name)  # not what was sent: it may hold a key
        body = orjson.dumps(problem_plain(error.code, str(error.body)))
        self.status = f"{error.code} {HTTPStatus(error.code).phrase}"
        self.response_headers = [("Content-Type", PROBLEM), ("X-Request-Id", name), *ALWAYS]
        if error.code == HTTPStatus.SERVICE_UNAVAILABLE:
            self.response_headers.append(("Retry-After", str(_AGAIN_S)))
        self.set_close_on_finish()
        self.content_length = len(body)
        self.write(body)


class TooSlow(Error):
    """A request that takes too long to come."""

    code = 408
    reason = "Request Timeout"


class Channel(HTTPChannel):
    """One connection."""

    task_class = AnswerTask
    error_task_class = ProblemTask
    parser_class = Parser
    waits_since = 0.0  # when it was opened, or its last request had come whole; of a monotonic clock
    _began = 0.0  # since when the request that is coming in could come: it began, or what went before it was taken
    _moved = 0.0  # when something was last received, answered or sent
    _parked = False  # a request waits until the client has taken earlier answers
    _unread = False  # something that was sent before the last answer was not read
    _lingers_until: float | None = None  # when a connection that was answered last is closed at the latest
    _dropped = 0  # bytes that came meanwhile
    held: list[bytes] | None = None  # parts that are to leave as one
    _more = False  # something came while a request was being answered, and was left where it is
    _sending = False  # it is handing what it wrote to the system

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.waits_since = self._moved = time.monotonic()

    def received(self, data: bytes) -> bool:
        """Take what has come in. Called in the loop."""
        now = self._moved = time.monotonic()
        whole, before = len(self.requests), self.request
        found = bool(super().received(data))
        if self.request is not before:
            self._began = now
        if len(self.requests) != whole:
            self.waits_since = now
        return found

    @property
    def waits(self) -> bool:
        """Whether nothing of it is being answered or sent, so that it may be closed to make room."""
        return not self.requests and not self.total_outbufs_len

    @property
    def urgent(self) -> bool:
        """Whether what is asked first is whether the service is well."""
        return bool(self.requests) and getattr(self.requests[0], "path", "") in UNCOUNTED

    def late(self, now: float) -> bool:
        """Tell whether a request has been coming in for longer than it may: 15 s, and 1 s for each 1,000 bytes.

        While an earlier one is answered, or its answer sent, nothing is read, and that is not the client's fault.
        """
        request = self.request
        if request is None or not self.waits:
            return False
        return now - self._began > IN_TIME_S + request.body_bytes_received / LEAST_RATE

    def refuse_late(self) -> None:
        """Answer that the request came too slowly, and close. Called in the loop."""
        channel = cast("Any", self)
        with channel.requests_lock:
            request, self.request = self.request, None
            if request is None:
                return
            request.close()
            request.body_rcv, request.completed = None, True
            request.error = TooSlow("the request came too slowly")
            channel.requests.append(request)
            if len(self.requests) == 1:
                channel.server.add_task(self)

    def readable(self) -> bool:
        """Tell whether the loop should look for what comes.

        It goes on looking while a request is being answered, so that the thread need not wake it in the end; but what
        comes then is left where it is.
        """
        if self._lingers_until is not None:
            return True
        if self.requests:
            return not (self._more or self.close_when_flushed or self.will_close)
        return bool(super().readable())

    def handle_read(self) -> None:
        """Take what has come, unless an earlier request is still being answered. Called in the loop."""
        if self._lingers_until is not None:
            self._drop()
            return
        channel = cast("Any", self)
        with channel.requests_lock:
            if self.requests:
                self._more = True
                return
        super().handle_read()

    def service(self) -> None:
        """Answer the next request, unless the client has too much to take first. Called in a thread."""
        with self.outbuf_lock:
            if self.connected and self.total_outbufs_len > MOST_UNTAKEN:
                self._parked = True
                return
        ends = self._answer(self.requests[0])
        self._moved = time.monotonic()
        self._go_on(ends=ends)

    def _answer(self, request: Any) -> bool:
        """Answer a request; tell whether the connection ends with it."""
        kind = self.error_task_class if request.error else self.task_class
        task = kind(self, request)
        try:
            if not self.connected:
                return True
            task.service()
        except ClientDisconnected:
            return True
        except Exception:  # noqa: BLE001 - whatever it is, the client is told and the thread goes on
            _log.exception("an answer could not be sent")
            if not task.wrote_header:
                request.error = InternalServerError("the server failed; its log says more")
                with suppress(ClientDisconnected):
                    self.error_task_class(self, request).service()
            return True
        return bool(task.close_on_finish)

    def _go_on(self, *, ends: bool) -> None:
        """Have the next request answered, where there is one, and wake the loop only where it has something to do."""
        channel = cast("Any", self)
        with channel.requests_lock:
            done, self.requests = (self.requests, []) if ends else (self.requests[:1], self.requests[1:])
            self.close_when_flushed = ends
            self._unread = ends and (
                self._more or len(done) > 1 or cast("Parser", done[0]).unread or bool(done[0].error)
            )
            self._began = time.monotonic()
            wakes = ends or self._more or self.requests or self.total_outbufs_len > 0
            self._more = False
            if self.connected and self.requests:
                channel.server.add_task(self)
            elif self.connected and not ends and self._waits_to_continue():
                channel.send_continue()
        for request in done:
            request.close()
        self.current_outbuf_count = self.adj.outbuf_high_watermark  # the next answer has a buffer of its own
        if self.connected and wakes:
            channel.server.pull_trigger()

    def _waits_to_continue(self) -> bool:
        request = self.request
        return bool(
            request is not None and request.expect_continue and request.headers_finished and not self.sent_continue
        )

    def handle_write(self) -> None:
        """Send what there is, and take up a request that waited for it. Called in the loop."""
        super().handle_write()
        if self._parked:
            with self.outbuf_lock:
                resumed = self.connected and self.total_outbufs_len <= MOST_UNTAKEN
                self._parked = self._parked and not resumed
            if resumed:
                cast("Any", self.server).add_task(self)

    def handle_close(self) -> None:
        """Close. Called in the loop.

        Where something was left unread, that would take the answer away from a client that is still sending: then the
        answer's end is sent, and what comes is read and dropped, until the client closes or for so long at most.
        """
        if self._unread and self._lingers_until is None and self.connected:
            self._lingers_until = time.monotonic() + LINGER_S
            with suppress(OSError):
                cast("socket.socket", self.socket).shutdown(socket.SHUT_WR)
                self.connected = False
                return
        super().handle_close()

    def _drop(self) -> None:
        try:
            dropped = len(cast("socket.socket", self.socket).recv(_DROPPED_AT_ONCE))
        except BlockingIOError:
            return
        except OSError:
            dropped = 0
        self._dropped += dropped
        if not dropped or self._dropped > _MOST_DROPPED:
            self.handle_close()

    def writable(self) -> bool:
        """Tell whether the loop should send. What a thread is sending itself is not for the loop to send.

        The library says yes here too: then the loop, which can't have the lock, goes round and round, and keeps the
        thread from going on.
        """
        return bool(super().writable()) and not self._sending and self._lingers_until is None

    def _flush_some(self, do_close: bool = True) -> bool:
        if do_close:  # called in the loop
            return self._flushed(do_close)
        self._sending = True
        try:
            return self._flushed(do_close)
        finally:
            self._sending = False

    def _flushed(self, do_close: bool) -> bool:
        if found := bool(super()._flush_some(do_close)):  # type: ignore[misc]
            self._moved = time.monotonic()
            if not self.total_outbufs_len:
                self._began = self._moved
        return found

    def write_soon(self, data: Any) -> int:
        """Take a part of an answer."""
        if self.held is not None:
            self.held.append(data)
            return len(data)
        try:
            return int(super().write_soon(data))
        except OSError as error:
            return self._kept_in_memory(data, error)

    def _kept_in_memory(self, data: bytes, error: OSError) -> int:
        """Keep what was to be put into the temporary folder, which has no room for it; it is still all there."""
        last = self.outbufs[-1]
        if last.overflowed:  # some of it is in the folder: the answer ends here, and the connection with it
            raise error
        _log.warning("no room for an answer in the temporary folder: %s", error.strerror)
        last.overflow = sys.maxsize
        last.getfile().seek(-len(last), os.SEEK_END)  # it was read from its beginning, for the folder
        with self.outbuf_lock:
            self.current_outbuf_count += len(data)
            self.total_outbufs_len += len(data)
        cast("Any", self.server).pull_trigger()
        return len(data)

    def stalled(self, now: float, patience: float) -> bool:
        """Tell whether the client has long taken nothing of what there is for it, or asked nothing."""
        if self._lingers_until is not None:
            return now > self._lingers_until
        quiet = now - self._moved
        return quiet > patience + IDLE_S if self.waits else quiet > patience and self.total_outbufs_len > 0
