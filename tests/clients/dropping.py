"""A bad connection: it passes bytes on to a server, and breaks off or holds back the first answers."""

from __future__ import annotations

import socket
import threading
from collections.abc import Iterator
from contextlib import contextmanager, suppress

STALLED = -1  # nothing comes back, and the connection stays


@contextmanager
def dropping(port: int, cut: tuple[int, ...]) -> Iterator[int]:
    """Listen in front of a server, and give the port. The first connections break off after so many bytes of answer."""
    listener = socket.create_server(("127.0.0.1", 0))
    limits = iter(cut)

    def serve() -> None:
        while True:
            try:
                client, _ = listener.accept()
            except OSError:  # closed
                return
            threading.Thread(target=_carry, args=(client, port, next(limits, None)), daemon=True).start()

    accepting = threading.Thread(target=serve)
    accepting.start()
    try:
        yield int(listener.getsockname()[1])
    finally:
        listener.shutdown(socket.SHUT_RDWR)
        listener.close()
        accepting.join()


def _carry(client: socket.socket, port: int, limit: int | None) -> None:
    """Carry bytes both ways until one end closes, or so many came back."""
    with client, socket.create_connection(("127.0.0.1", port)) as server:
        if limit == STALLED:
            _forward(client, server)  # until the client gives up
            return
        threading.Thread(target=_forward, args=(client, server), daemon=True).start()
        left = limit
        with suppress(OSError):  # an end has gone
            while data := server.recv(65_536):
                client.sendall(data[:left])
                if left is not None and (left := left - len(data)) <= 0:
                    break
        for end in (client, server):
            _shut(end)


def _forward(client: socket.socket, server: socket.socket) -> None:
    with suppress(OSError):  # an end has gone
        while data := client.recv(65_536):
            server.sendall(data)
    _shut(server)


def _shut(end: socket.socket) -> None:
    with suppress(OSError):  # closed already
        end.shutdown(socket.SHUT_RDWR)
