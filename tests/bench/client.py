"""A client that costs little: a few connections kept open, one request under way on each, answers only measured out.

`python -m tests.bench.client PORT PATH COUNT CONNECTIONS` sends the bodies of standard input, one a line, over and over
until COUNT requests are answered, and prints the seconds. It runs in a process of its own.
"""

from __future__ import annotations

import selectors
import socket
import sys
import time
from collections.abc import Iterator, Sequence

_LENGTH = b"content-length:"


class Connection:
    """One connection and the answer being received on it."""

    def __init__(self, port: int) -> None:
        self.socket = socket.create_connection(("127.0.0.1", port), timeout=60)
        self.socket.setsockopt(socket.IPPROTO_TCP, socket.TCP_NODELAY, 1)
        self._received = b""

    def answered(self) -> bool:
        """Take in what has arrived and tell whether the answer is whole. Raises ValueError for any but a 200."""
        self._received += self.socket.recv(65_536)
        head, found, body = self._received.partition(b"\r\n\r\n")
        if not found:
            return False
        if not head.startswith(b"HTTP/1.1 200 "):
            raise ValueError(self._received.decode(errors="replace"))
        length = next(line for line in head.lower().split(b"\r\n") if line.startswith(_LENGTH))
        if len(body) < int(length[len(_LENGTH) :]):
            return False
        self._received = b""
        return True


def requests(path: str, bodies: Sequence[bytes]) -> Sequence[bytes]:
    """Write the requests for bodies."""
    head = f"POST {path} HTTP/1.1\r\nHost: bench\r\nContent-Type: application/json\r\nContent-Length: "
    return [head.encode() + b"%d\r\n\r\n" % len(body) + body for body in bodies]


def exchange(port: int, sent: Iterator[bytes], connections: int) -> None:
    """Send everything, and receive every answer."""
    waiting = 0
    with selectors.DefaultSelector() as selector:
        for connection in [Connection(port) for _ in range(connections)]:
            first = next(sent, None)
            if first is not None:
                selector.register(connection.socket, selectors.EVENT_READ, connection)
                connection.socket.sendall(first)
                waiting += 1
        while waiting:
            for key, _ in selector.select():
                if key.data.answered():
                    following = next(sent, None)
                    if following is None:
                        waiting -= 1
                    else:
                        key.data.socket.sendall(following)


def main() -> None:
    """Send what standard input has."""
    port, path, count, connections = sys.argv[1:]
    written = requests(path, sys.stdin.buffer.read().splitlines())
    sent = (written[at % len(written)] for at in range(int(count)))
    started = time.perf_counter()
    exchange(int(port), sent, int(connections))
    sys.stdout.write(f"{time.perf_counter() - started}\n")


if __name__ == "__main__":
    main()
