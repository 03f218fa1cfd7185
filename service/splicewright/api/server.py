"""The embedded server."""

from __future__ import annotations

import logging
import signal
import threading
import time
from pathlib import Path
from typing import Any

from waitress import wasyncore
from waitress.channel import HTTPChannel
from waitress.server import BaseWSGIServer, create_server

from splicewright.api.app import MAX_BODY, create_app
from splicewright.choice import Chooser, shipped_chooser
from splicewright.choice.reloading import NotProven, reload_rules

PATIENCE_S = 60  # for a client that sends or reads nothing, and for requests in flight when stopping
THREADS = 4  # answers are made one at a time; more threads only take turns
_TICK_S = 0.5


def serve(host: str, port: int, rulesets: Path | None = None) -> None:
    """Serve until SIGTERM or Ctrl-C. Then no connection is taken any more, and requests in flight are finished.

    SIGHUP reads rules and catalogues anew: whole or not at all, while requests go on. Raises `NotProven` where
    `rulesets` are given and can't be taken into use.
    """
    logging.basicConfig(level=logging.INFO, format="%(message)s")
    logging.getLogger("waitress.queue").setLevel(logging.ERROR)  # a request that waits a moment is no news
    channels: dict[int, Any] = {}
    chooser = shipped_chooser() if rulesets is None else Chooser(rulesets)
    if rulesets is not None:
        reload_rules(chooser)
    app = create_app(chooser)
    server = create_server(
        app,
        map=channels,
        host=host,
        port=port,
        threads=THREADS,
        max_request_body_size=MAX_BODY + 1,
        channel_timeout=PATIENCE_S,
        connection_limit=500,
        ident=None,
    )
    stopping, reloading = threading.Event(), threading.Event()
    signal.signal(signal.SIGHUP, lambda *_: reloading.set())
    for number in (signal.SIGTERM, signal.SIGINT):
        signal.signal(number, lambda *_: stopping.set())
    for listener in _listeners(channels):
        told = (listener.effective_host, listener.effective_port)
        logging.getLogger(__name__).info("splicewright listens on http://%s:%s", *told)
    while not stopping.is_set():
        wasyncore.loop(timeout=_TICK_S, map=channels, count=1)
        if reloading.is_set():
            reloading.clear()
            threading.Thread(target=_reload, args=(chooser,), daemon=True).start()
    _finish(channels)
    server.task_dispatcher.shutdown(cancel_pending=False, timeout=PATIENCE_S)


def _reload(chooser: Chooser) -> None:
    log = logging.getLogger(__name__)
    try:
        log.info("rules and catalogues reloaded: %s", " ".join(reload_rules(chooser)))
    except NotProven as error:
        log.warning("not reloaded, the rules in use stay:\n%s", error)


def _listeners(channels: dict[int, Any]) -> list[Any]:
    return [one for one in channels.values() if isinstance(one, BaseWSGIServer)]


def _finish(channels: dict[int, Any]) -> None:
    # The server's own way of closing takes the channels away from under requests that are still being answered.
    for listener in _listeners(channels):
        listener.del_channel()
        if listener.socket is not None:
            listener.socket.close()
    deadline = time.monotonic() + PATIENCE_S
    while time.monotonic() < deadline:
        open_channels = [one for one in channels.values() if isinstance(one, HTTPChannel)]
        for channel in open_channels:
            if channel.request is None and not channel.requests and not channel.total_outbufs_len:
                channel.handle_close()
        if not open_channels:
            return
        wasyncore.loop(timeout=_TICK_S, map=channels, count=1)
