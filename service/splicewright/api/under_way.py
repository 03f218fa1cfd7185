"""Calls under way: how much each may do, whether its client is still there, and how many long ones there are at once.

A call is long by what it costs, wherever it was sent: where its body is long, and from when its work is more than a
short call takes. A thread is always left for short ones.
"""

from __future__ import annotations

import select
import socket
import threading
from typing import Any

from flask import Flask, Request, Response, current_app, request
from werkzeug.exceptions import HTTPException, ServiceUnavailable

from splicewright.api.settings import Settings
from splicewright.work import Budget

LATER_S = 5
#: Bytes of a body from which on a call is long, and pieces of work: some twentieth of a second.
LONG_BODY, LONG_WORK = 32_768, 25_000
#: Under this key of the environment a server puts the connection that a call came by.
CONNECTION = "splicewright.connection"
_STATE = "splicewright.under_way"
_LOOK = 2_000  # pieces of work between two looks at the connection: some milliseconds
#: Told also where more of a request waits to be read.
_LEFT = getattr(select, "POLLRDHUP", 0)


class ClientLeft(HTTPException):
    """The client has closed its connection: nobody waits for the answer."""

    code = 499
    description = "the client has left"


class Places:
    """Places for long calls. One thread is always left for short ones, whatever the clients of long ones do."""

    def __init__(self, settings: Settings) -> None:
        """Have one place fewer than there are threads, but one at least."""
        self._most = most_long(settings)
        self._free = threading.BoundedSemaphore(self._most)

    def take(self) -> None:
        """Take a place. Raises 503 where none is free."""
        if not self._free.acquire(blocking=False):
            says = f"{self._most} long calls are under way; try again in {LATER_S} s"
            raise ServiceUnavailable(says, retry_after=LATER_S)

    def give_back(self) -> None:
        """Give a place back."""
        self._free.release()


class UnderWay:
    """One call."""

    __slots__ = ("_connection", "_holds", "_looked", "_places", "_work")

    def __init__(self, places: Places, environ: dict[str, Any]) -> None:
        """Begin."""
        self._places = places
        self._connection = environ.get(CONNECTION)
        self._work = self._looked = 0
        self._holds = False

    def begins(self, request: Request) -> None:
        """Take a place where the body is long. Raises 503 where none is free."""
        request.environ[_STATE] = self
        if "HTTP_TRANSFER_ENCODING" in request.environ or (request.content_length or 0) > LONG_BODY:
            self.is_long()

    def watch(self, work: int) -> None:
        """Take note of work. Raises `ClientLeft`, and 503 where the call becomes long and no place is free."""
        self._work += work
        if self._work - self._looked < _LOOK:
            return
        self._looked = self._work
        if has_left(self._connection):
            raise ClientLeft
        if self._work > LONG_WORK:
            self.is_long()

    def is_long(self) -> None:
        """Take a place among long calls. Raises 503 where none is free."""
        if not self._holds:
            self._places.take()
            self._holds = True

    def ends(self) -> None:
        """Give the place back."""
        if self._holds:
            self._holds = False
            self._places.give_back()


def has_left(connection: Any) -> bool:
    """Tell whether the client at the other end has closed a connection; False where there is none to look at."""
    if not isinstance(connection, socket.socket):
        return False
    if connection.fileno() < 0:
        return True
    polled = select.poll()
    polled.register(connection, _LEFT)
    return bool(polled.poll(0))


def most_long(settings: Settings) -> int:
    """Give how many long calls there may be at once."""
    return max(1, settings.threads - 1)


def register(app: Flask) -> None:
    """Send nothing to a client that has left."""
    app.register_error_handler(ClientLeft, lambda _: Response(status=ClientLeft.code))


def under_way() -> UnderWay:
    """Give the call that is being answered."""
    found: UnderWay = request.environ[_STATE]
    return found


def call_budget(whole: float | None = None, *, remedies: float | None = None) -> Budget:
    """Give the work that the call being answered may take, by default as much as one may."""
    config = current_app.config
    return Budget(
        remedies,
        whole=config["MAX_WORK"] if whole is None else whole,
        answer_bytes=config["MAX_ANSWER"],
        watch=under_way().watch,
    )
