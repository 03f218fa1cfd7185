"""The server: alone in a process (`serve`), or one of several under a master (`gunicorn_worker.py`)."""

from __future__ import annotations

import logging
import resource
import signal
import socket
import sys
import time
from collections import Counter
from collections.abc import Callable, Sequence
from typing import Any, cast

from flask import Flask
from waitress import wasyncore
from waitress.server import BaseWSGIServer, create_server

from splicewright.api.admission import Admission
from splicewright.api.renewals import Renewals
from splicewright.api.settings import Settings
from splicewright.api.turns import Turns
from splicewright.api.under_way import most_long
from splicewright.api.waitress_channel import MOST_UNTAKEN, Channel
from splicewright.api.waitress_parser import Parser
from splicewright.project.reading import Project

_TICK_S = 0.5
_TAKEN_AT_ONCE = 65_536  # bytes of a connection; each time, a thread that is at work has to be waited for
#: Seconds after which a thread that is at work lets others go on. With Python's own 0.005, of which a request takes
#: some ten, a short call beside a long one took up to 0.25 s, and the body of a second job as long as the first job.
_LETS_OTHERS_S = 0.001
_NEVER_S = 10**9
_SPARE_PLACES = 2  # so that whoever comes next is let in
_SETTLED_S = 0.2  # a connection that has just come may well be about to ask
_SOON_S = 0.05  # while the server stops
_ALIVE_S = 60.0  # without a look at the connections, beyond which something is wrong
_log = logging.getLogger(__name__)


def serve(
    settings: Settings, project: Project | None = None, listening: Callable[[str], None] = lambda _: None
) -> None:
    """Serve until SIGTERM or Ctrl-C. Then no connection is taken any more, and requests in flight are finished.

    `listening` is called with each address that it listens on. SIGHUP reads rules, catalogues, the project file and
    keys anew: whole or not at all, while requests go on. Raises `NotProven` where rulesets are named and can't be taken
    into use, `Faults`, `OSError` where it can't listen or copy.
    """
    renewals = Renewals(settings, project)
    renewals.start()
    try:
        run(renewals.application(), settings, renewals.soon, listening)
    finally:
        renewals.stop()


def run(
    app: Flask, settings: Settings, renew: Callable[[], None], listening: Callable[[str], None] = lambda _: None
) -> None:
    """Serve an application. `renew` is what SIGHUP does; `listening` is told each address."""
    loop = Loop(app, settings)
    stopping: list[int] = []  # no Event: its lock, held by a signal handler, would stop the one that interrupts it
    signal.signal(signal.SIGHUP, lambda *_: renew())
    for number in (signal.SIGTERM, signal.SIGINT):
        signal.signal(number, lambda number, _: stopping.append(number))
    for listener in loop.listeners():
        address = f"http://{listener.effective_host}:{listener.effective_port}"
        _log.info("splicewright listens on %s", address)
        listening(address)
    loop.run(lambda: bool(stopping))


class Loop:
    """Connections are looked at, and what has come is answered, by threads that take turns."""

    def __init__(self, app: Flask, settings: Settings, sockets: Sequence[socket.socket] = ()) -> None:
        """Listen on `sockets`, or else where the settings say. Raises `OSError` where it can't."""
        self.channels: dict[int, Any] = {}
        self._threads = Turns(most_long(settings) + 1, self._look)
        self._patience = settings.patience
        self._most = settings.connections
        # Behind a proxy all come from its address.
        self._most_of_one = settings.connections if settings.proxies else max(1, settings.connections // 2)
        self._next_round = 0.0
        self._looked = time.monotonic()
        self._stopping = False
        _allow_open_files(2 * settings.connections + 200)
        create_server(
            app,
            map=self.channels,
            _dispatcher=cast("Any", self._threads),
            **({"sockets": list(sockets)} if sockets else {"host": settings.host, "port": settings.port}),
            max_request_body_size=max(settings.max_body, settings.max_job, settings.max_batch) + 1,
            inbuf_overflow=settings.max_body + 1,  # no question waits for a disk; jobs and batches may
            outbuf_high_watermark=MOST_UNTAKEN,
            recv_bytes=_TAKEN_AT_ONCE,
            channel_timeout=_NEVER_S,  # it goes by the clock, which may be set
            connection_limit=settings.connections,
            ident=None,
            clear_untrusted_proxy_headers=False,  # the application reads those of the proxies that it is told of
        )
        # The library makes a parser for each request by itself, of those too that come together.
        admitting = type("Admitting", (Parser,), {"admits": staticmethod(Admission(app).most_bytes)})
        admitted = type("Admitted", (Channel,), {"parser_class": admitting})
        for listener in self.listeners():
            listener.channel_class = admitted

    def listeners(self) -> list[Any]:
        """Give what listens for connections."""
        return [channel for channel in self.channels.values() if isinstance(channel, BaseWSGIServer)]

    def run(self, stopping: Callable[[], bool], alive: Callable[[], None] = lambda: None) -> None:
        """Serve until it is time to stop; then take no connection any more, and finish what is under way.

        `alive` is called again and again while connections are looked at.
        """
        sys.setswitchinterval(_LETS_OTHERS_S)
        self._threads.start()
        while not stopping():
            if time.monotonic() - self._looked < _ALIVE_S:
                alive()
            self._threads.watch(_TICK_S)
        self._stopping = True
        deadline = time.monotonic() + self._patience
        while (self.listeners() or self._open()) and time.monotonic() < deadline:
            self._threads.watch(_SOON_S)
        self._threads.stop(max(1.0, deadline - time.monotonic()))

    def _look(self, seconds: float | None) -> None:
        """Take what has come, and send what can be sent."""
        full = len(self.channels) > self._most - _SPARE_PLACES
        timeout = _SOON_S if self._stopping else _SETTLED_S if full else _TICK_S
        # Polled, since `select` fails for a file beyond the 1024th.
        wasyncore.loop(timeout if seconds is None else seconds, map=self.channels, count=1, use_poll=True)
        self._make_room()
        now = self._looked = time.monotonic()
        if now >= self._next_round:
            self._next_round = now + 1
            for channel in self._open():
                if channel.late(now):
                    channel.refuse_late()
                elif channel.stalled(now, self._patience):
                    channel.handle_close()
        if self._stopping:
            self._close()

    def _make_room(self) -> None:
        """Close what has waited longest: of an address that has more than its half, and where all places are taken."""
        if len(self.channels) <= self._most_of_one:
            return
        settled = time.monotonic() - _SETTLED_S
        waiting = [one for one in self._open() if one.waits and one.waits_since < settled]
        waiting.sort(key=lambda one: one.waits_since)
        counts = Counter(one.addr[0] for one in self._open())
        places = self._most - len(self.channels)
        for channel in waiting:
            if places < _SPARE_PLACES or counts[channel.addr[0]] > self._most_of_one:
                counts[channel.addr[0]] -= 1
                places += 1
                channel.handle_close()

    def _close(self) -> None:
        """Close all but what is under way."""
        # The server's own way of closing takes the channels away from under requests that are still being answered.
        for listener in self.listeners():
            listener.del_channel()
            if listener.socket is not None:
                listener.socket.close()
        for channel in self._open():
            if channel.request is None and channel.waits:
                channel.handle_close()

    def _open(self) -> list[Channel]:
        return [channel for channel in list(self.channels.values()) if isinstance(channel, Channel)]


def _allow_open_files(wanted: int) -> None:
    soft, hard = resource.getrlimit(resource.RLIMIT_NOFILE)
    most = wanted if hard == resource.RLIM_INFINITY else min(wanted, hard)
    if most > soft:
        resource.setrlimit(resource.RLIMIT_NOFILE, (most, hard))
