"""Clients that stall hold up nobody else: 60 of each kind beside a good one."""

from __future__ import annotations

import socket
from collections.abc import Iterator

import pytest

from splicewright.api.settings import Settings
from splicewright.api.waitress_channel import MOST_UNTAKEN
from tests.api.serving import HEAD, Server, ask, choose, delayed_ms, serving, slowest_ms, stalled

pytestmark = [pytest.mark.alone, pytest.mark.slow]
MOST_MS = 100
COUNT = 60
FULL = b'{"joint": {"conductors": [{"size": "12 AWG", "count": 3}]}}'
DOCUMENT = b"GET /openapi.json HTTP/1.1\r\nHost: x\r\n\r\n"
GIVEN = '"path":"/openapi.json","status":200'
THREADS = Settings().threads
LINES = (FULL + b"\n") * 2_000  # its whole answers are more than any buffer on the way takes


@pytest.fixture(scope="module")
def server() -> Iterator[Server]:
    with serving("--patience", "2") as started:
        slowest_ms(started.port, 5)
        yield started


def request(path: str, body: bytes, kind: str = "application/json") -> bytes:
    head = f"POST {path} HTTP/1.1\r\nHost: x\r\nContent-Type: {kind}\r\nContent-Length: {len(body)}\r\n\r\n"
    return head.encode() + body


@pytest.mark.parametrize(
    "sent",
    [
        pytest.param(b"", id="silent"),
        pytest.param(b"POST /v1/choices HTTP/1.1\r\nHos", id="in-the-headers"),
        pytest.param(HEAD + b"Content-Length: 1000\r\n\r\n{", id="in-the-body"),
        pytest.param(HEAD + b"Transfer-Encoding: chunked\r\n\r\nff\r\n{", id="in-a-chunk"),
    ],
)
def test_clients_that_stop_sending_delay_nobody(server: Server, sent: bytes) -> None:
    with stalled(server.port, sent, COUNT):
        assert delayed_ms(server.port) < MOST_MS


def test_clients_that_take_no_answer_delay_nobody(server: Server) -> None:
    size = len(ask(server.port, "GET", "/openapi.json").body)
    count = 8_000_000 // size  # more than the system keeps for a connection
    before = server.count(GIVEN)
    with stalled(server.port, DOCUMENT * count, COUNT, small_window=True):
        server.has_logged(GIVEN, before + COUNT * count)
        assert delayed_ms(server.port) < MOST_MS


def test_clients_that_go_on_asking_and_take_nothing_are_not_waited_for(server: Server) -> None:
    size = len(ask(server.port, "GET", "/openapi.json").body)
    before = server.count(GIVEN)
    # As many as the server reads at once; together far beyond what it keeps for one client.
    with stalled(server.port, DOCUMENT * 200, 2 * THREADS, small_window=True):
        server.has_logged(GIVEN, before + 2 * THREADS * (MOST_UNTAKEN // size))
        assert delayed_ms(server.port) < MOST_MS


def test_batches_that_nobody_reads_leave_a_thread_for_others_and_are_ended(server: Server) -> None:
    asked = request("/v1/batches?explain=full", LINES, "application/x-ndjson")
    with stalled(server.port, asked, COUNT, small_window=True) as clients:
        answered = [client for client in clients if first_line(client) == b"HTTP/1.1 200 OK"]
        assert len(answered) == THREADS - 1  # the others were told to come again
        assert choose(server.port).status == 200
        server.has_logged('"path":"/v1/batches","status":200', THREADS - 1)  # given up, though they are still there
        assert ask(server.port, "POST", "/v1/batches", FULL, Content_Type="application/x-ndjson").status == 200


def first_line(client: socket.socket) -> bytes:
    return client.recv(200).partition(b"\r\n")[0]
