"""A server that is busy at first: it answers so many calls with a status of its own, and passes the others on."""

from __future__ import annotations

import threading
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer

from tests.api.serving import ask


@dataclass
class Busy:
    """Where it listens, and what was asked of it."""

    address: str = ""
    asked: list[str] = field(default_factory=list)


@contextmanager
def busy(port: int, calls: int, status: int, headers: dict[str, str], body: bytes = b"") -> Iterator[Busy]:
    """Listen in front of a server. The first `calls` calls are refused; `body` is what they are told."""
    seen = Busy()

    class Handler(BaseHTTPRequestHandler):
        def do_POST(self) -> None:
            sent = self.rfile.read(int(self.headers["Content-Length"]))
            seen.asked.append(self.path)
            if len(seen.asked) <= calls:
                self._give(status, headers, body)
            else:
                answer = ask(port, "POST", self.path, sent)
                self._give(answer.status, {"Content-Type": answer.headers["Content-Type"]}, answer.body)

        def _give(self, status: int, headers: dict[str, str], body: bytes) -> None:
            self.send_response(status)
            for name, value in {**headers, "Content-Length": str(len(body))}.items():
                self.send_header(name, value)
            self.end_headers()
            self.wfile.write(body)

        def log_message(self, *_: object) -> None:
            """Say nothing."""

    server = ThreadingHTTPServer(("127.0.0.1", 0), Handler)
    listening = threading.Thread(target=server.serve_forever)
    listening.start()
    try:
        seen.address = f"http://127.0.0.1:{server.server_port}"
        yield seen
    finally:
        server.shutdown()
        server.server_close()
        listening.join()
