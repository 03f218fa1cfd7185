"""Clients that go on sending, slowly, take no place from others, and are told that they are too slow."""

from __future__ import annotations

import functools
import hashlib
import socket
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, contextmanager, suppress
from pathlib import Path

import pytest

from splicewright.api.waitress_channel import IN_TIME_S
from tests.api.serving import BODY, HEAD, Server, ask, choose, serving, workers

pytestmark = [pytest.mark.alone, pytest.mark.slow]
COUNT, EVERY_S, MOST_S = 20, 2.0, 1.0
KEYED = hashlib.sha256(b"a-good-key").hexdigest()


@contextmanager
def dribbling(port: int, sent: bytes, piece: bytes) -> Iterator[list[socket.socket]]:
    """Keep clients that have sent this much, and go on by a piece every two seconds."""
    clients = [socket.create_connection(("127.0.0.1", port), timeout=30) for _ in range(COUNT)]
    ended = threading.Event()

    def go_on() -> None:
        while not ended.wait(EVERY_S):
            for client in clients:
                with suppress(OSError):
                    client.send(piece)

    thread = threading.Thread(target=go_on)
    try:
        for client in clients:
            with suppress(OSError):
                client.sendall(sent)
        thread.start()
        yield clients
    finally:
        ended.set()
        thread.join()
        for client in clients:
            client.close()


@pytest.mark.parametrize(
    ("sent", "piece"),
    [
        pytest.param(b"POST /v1/choices HTTP/1.1\r\nHost: x\r\nX: ", b"a", id="in-the-headers"),
        pytest.param(HEAD + b"Content-Length: 1000\r\n\r\n", b" ", id="in-the-body"),
        pytest.param(HEAD + b"Transfer-Encoding: chunked\r\n\r\n", b"1\r\n \r\n", id="in-chunks"),
    ],
)
def test_slow_clients_without_a_key_do_not_stop_a_server_of_few_connections(
    tmp_path: Path, sent: bytes, piece: bytes
) -> None:
    keys = tmp_path / "keys.yaml"
    keys.write_text(f"keys:\n  - {{name: a, sha256: {KEYED}, scopes: [ask]}}\n")
    with (
        serving("--keys", str(keys), "--connections", "10") as server,
        dribbling(server.port, sent, piece),
    ):
        deadline = time.monotonic() + 3 * EVERY_S
        while time.monotonic() < deadline:
            began = time.monotonic()
            assert ask(server.port, "GET", "/health/live").status == 200
            assert time.monotonic() - began < MOST_S
        assert choose(server.port, Authorization="Bearer a-good-key").status == 200


@pytest.mark.parametrize(
    ("sent", "piece"),
    [
        pytest.param(b"POST /v1/choices HTTP/1.1\r\nHost: x\r\nX: ", b"a", id="in-the-headers"),
        pytest.param(HEAD + b"Content-Length: 1000\r\n\r\n", b" ", id="in-the-body"),
    ],
)
def test_slow_clients_are_told_so_and_closed(sent: bytes, piece: bytes) -> None:
    # Also under a master, whose processes have the same server: it is tried with one of the two.
    with serving() if piece == b"a" else workers() as server, dribbling(server.port, sent, piece) as clients:
        began = time.monotonic()
        answers = [client.recv(200) for client in clients]
        assert IN_TIME_S - 1 < time.monotonic() - began < IN_TIME_S + 3
        assert {answer.partition(b"\r\n")[0].partition(b" ")[2] for answer in answers} == {b"408 Request Timeout"}
        assert choose(server.port).status == 200


@pytest.mark.parametrize("start", [serving, functools.partial(workers, SPLICEWRIGHT_WORKERS="1")])
def test_clients_of_one_address_leave_places_to_others(start: Callable[..., AbstractContextManager[Server]]) -> None:
    with start(SPLICEWRIGHT_CONNECTIONS="20") as server:
        address, elsewhere = ("127.0.0.1", server.port), ("127.0.0.2", 0)
        idle = [socket.create_connection(address, timeout=5, source_address=elsewhere) for _ in range(15)]
        other = socket.create_connection(address, timeout=5)
        assert ask(server.port, "GET", "/health/live").status == 200
        assert idle[0].recv(1) == b""  # the one that has waited longest was closed
        other.sendall(HEAD + b"Content-Length: %d\r\n\r\n" % len(BODY) + BODY)
        assert other.recv(100).startswith(b"HTTP/1.1 200")
        for client in (*idle, other):
            client.close()
