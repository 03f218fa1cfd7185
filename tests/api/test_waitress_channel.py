"""What a thread sends leaves as one, and the loop leaves it alone meanwhile."""

from __future__ import annotations

import socket
from collections.abc import Callable, Iterable, Iterator
from types import SimpleNamespace
from typing import Any

import pytest
from waitress.server import create_server

from splicewright.api import waitress_channel
from splicewright.api.turns import Turns
from splicewright.api.waitress_channel import IN_TIME_S, Channel

ASKED = b"GET / HTTP/1.1\r\nHost: x\r\n\r\n"
PART = b"GET / HTTP/1.1\r\nHost: "
BODY = b"a good answer"


class Line:
    """A socket that takes at most `most` bytes and then no more, and looks at its channel each time it sends."""

    def __init__(self, most: int) -> None:
        self.near, self.far = socket.socketpair()
        self.left = most
        self.channel: Channel | None = None
        self.sent: list[bytes] = []
        self.seen: list[bool] = []

    def __getattr__(self, name: str) -> Any:
        return getattr(self.near, name)

    def send(self, data: bytes) -> int:
        assert self.channel
        self.seen.append(self.channel.writable())
        taken = data[: self.left]
        if not taken:
            raise BlockingIOError(11, "would block")
        self.left -= len(taken)
        self.sent.append(taken)
        return len(taken)


@pytest.fixture
def clock(monkeypatch: pytest.MonkeyPatch) -> SimpleNamespace:
    """Give what the channel takes for the time."""
    found = SimpleNamespace(now=1_000.0)
    monkeypatch.setattr(waitress_channel, "time", SimpleNamespace(monotonic=lambda: found.now))
    return found


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


def late_after(channel: Channel, clock: SimpleNamespace) -> bool:
    """Tell whether the channel's request is late just when its time is over, from now, and not before."""
    over = clock.now + IN_TIME_S
    return not channel.late(over) and channel.late(over + 1)


def test_request_begun_beside_another_has_its_own_time(
    channel_on: Callable[[Line], Channel], clock: SimpleNamespace
) -> None:
    channel = channel_on(Line(10_000))
    channel.received(PART)
    assert late_after(channel, clock)
    clock.now += 10
    channel.received(ASKED[len(PART) :] + PART)
    assert not channel.late(clock.now + 100)  # nothing is read until the first is answered
    clock.now += 20
    channel.service()
    assert late_after(channel, clock)


def test_request_begun_beside_an_empty_line_has_its_own_time(
    channel_on: Callable[[Line], Channel], clock: SimpleNamespace
) -> None:
    channel = channel_on(Line(10_000))
    channel.received(b"\r\n")
    clock.now += 10
    channel.received(b"\r\n" + PART)
    assert late_after(channel, clock)


def test_request_has_its_time_from_when_the_answer_before_it_is_taken(
    channel_on: Callable[[Line], Channel], clock: SimpleNamespace
) -> None:
    line = Line(40)
    channel = channel_on(line)
    channel.received(PART)
    assert not channel.late(clock.now + 100)
    clock.now += 30
    line.left = 10_000
    channel.handle_write()
    assert late_after(channel, clock)
