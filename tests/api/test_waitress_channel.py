"""What a thread sends leaves as one, and the loop leaves it alone meanwhile."""

from __future__ import annotations

import socket
from collections.abc import Callable, Iterable, Iterator
from typing import Any

import pytest
from waitress.server import create_server

from splicewright.api.turns import Turns
from splicewright.api.waitress_channel import Channel

ASKED = b"GET / HTTP/1.1\r\nHost: x\r\n\r\n"
BODY = b"a good answer"


class Line:
    """A socket that takes at most `most` bytes and then no more, and looks at its channel each time it sends."""

    def __init__(self, most: int) -> None:
        self.near, self.far = socket.socketpair()
        self._left = most
        self.channel: Channel | None = None
        self.sent: list[bytes] = []
        self.seen: list[bool] = []

    def __getattr__(self, name: str) -> Any:
        return getattr(self.near, name)

    def send(self, data: bytes) -> int:
        assert self.channel
        self.seen.append(self.channel.writable())
        taken = data[: self._left]
        if not taken:
            raise BlockingIOError(11, "would block")
        self._left -= len(taken)
        self.sent.append(taken)
        return len(taken)


@pytest.fixture
def channel_on() -> Iterator[Callable[[Line], Channel]]:
    """Give what answers on a line, without threads and without a loop: who is served is up to the test."""

    def answer(_: dict[str, Any], start: Callable[..., Any]) -> Iterable[bytes]:
        start("200 OK", [("Content-Length", str(len(BODY)))])
        return [BODY]

    lines: list[Line] = []
    server: Any = create_server(answer, map={}, _dispatcher=Turns(1, lambda _: None), host="127.0.0.1", port=0)

    def on(line: Line) -> Channel:
        lines.append(line)
        channel = Channel(server, line, ("127.0.0.1", 1), server.adj, map={})
        line.channel = channel
        channel.received(ASKED)
        channel.service()
        return channel

    yield on
    server.close()
    for line in lines:
        line.near.close()
        line.far.close()


def test_answer_leaves_with_its_header(channel_on: Callable[[Line], Channel]) -> None:
    line = Line(10_000)
    channel_on(line)
    (sent,) = line.sent
    assert sent.startswith(b"HTTP/1.1 200 OK\r\n")
    assert sent.endswith(b"\r\n\r\n" + BODY)


def test_loop_has_nothing_to_write_while_a_thread_sends(channel_on: Callable[[Line], Channel]) -> None:
    line = Line(10_000)
    channel = channel_on(line)
    assert line.seen == [False]
    assert not channel.writable()


def test_loop_sends_what_a_thread_could_not(channel_on: Callable[[Line], Channel]) -> None:
    line = Line(40)
    channel = channel_on(line)
    assert line.seen
    assert not any(line.seen)
    assert channel.writable()
