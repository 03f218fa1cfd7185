"""The embedded server."""

from __future__ import annotations

import logging
import signal
import threading
from types import FrameType

from waitress.server import create_server

from splicewright.api.app import MAX_BODY, create_app

_PATIENCE_S = 60


def serve(host: str, port: int) -> None:
    """Serve until SIGTERM or Ctrl-C; requests in flight are finished first."""
    logging.basicConfig(level=logging.INFO, format="%(message)s")
    app = create_app()
    server = create_server(
        app,
        host=host,
        port=port,
        threads=8,
        max_request_body_size=MAX_BODY + 1,
        channel_timeout=_PATIENCE_S,
        connection_limit=500,
        ident=None,
    )

    def stop(_number: int, _frame: FrameType | None) -> None:
        # Closing from a thread of its own: the signal may arrive inside the server's own loop.
        threading.Thread(target=server.close).start()

    signal.signal(signal.SIGTERM, stop)
    signal.signal(signal.SIGINT, stop)
    logging.getLogger(__name__).info("splicewright listens on http://%s:%s", host, port)
    try:
        server.run()
    except OSError:
        pass  # its socket was closed by `stop`
    finally:
        server.task_dispatcher.shutdown(cancel_pending=False, timeout=_PATIENCE_S)
