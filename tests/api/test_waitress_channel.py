"""Threads of the server are woken one at a time, and a further one where those awake have long been at it.

What a thread sends leaves as one, and the loop leaves it alone meanwhile.
"""

from __future__ import annotations

import socket
import threading
from collections.abc import Callable, Iterable, Iterator
from typing import Any

import pytest
from waitress.server import create_server

from splicewright.api.waitress_channel import Channel, Turns

LIMIT_S = 20


class Task:
    """A task that tells when it has begun and goes on until it is let go."""

    def __init__(self, turns: Turns) -> None:
        self._turns = turns
        self.begun, self.let_go, self.ended = threading.Event(), threading.Event(), threading.Event()

    def service(self) -> None:
        self._turns.begins(self)
        self.begun.set()
        self.let_go.wait(LIMIT_S)
        self._turns.ends(self)
        self.ended.set()


@pytest.fixture
def turns() -> Iterator[Turns]:
    found = Turns()
    found.set_thread_count(3)
    yield found
    found.shutdown(timeout=LIMIT_S)


def test_tasks_of_one_moment_are_taken_in_turn_by_whoever_is_awake(turns: Turns) -> None:
    tasks = [Task(turns) for _ in range(20)]
    for task in tasks:
        task.let_go.set()
        turns.add_task(task)
    while turns.relieve():
        pass
    assert all(task.ended.wait(LIMIT_S) for task in tasks)


def test_task_that_waits_behind_a_long_one_gets_a_thread_of_its_own(turns: Turns) -> None:
    long, short = Task(turns), Task(turns)
    turns.add_task(long)
    assert long.begun.wait(LIMIT_S)
    turns.add_task(short)
    while turns.relieve():
        pass
    assert short.begun.wait(LIMIT_S)
    assert not long.ended.is_set()
    for task in (short, long):
        task.let_go.set()
        assert task.ended.wait(LIMIT_S)


def test_nothing_waits_where_nothing_is_queued(turns: Turns) -> None:
    assert not turns.relieve()


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
    server: Any = create_server(answer, map={}, _dispatcher=Turns(), host="127.0.0.1", port=0)

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
