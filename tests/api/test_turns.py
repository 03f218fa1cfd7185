"""Threads take turns: short tasks wake nobody, a long one is left to its thread while another looks at what comes."""

from __future__ import annotations

import threading
import time
from collections import deque
from collections.abc import Iterator
from contextlib import contextmanager

import pytest

from splicewright.api.turns import Turns

LIMIT_S = 20


class Task:
    """A task that tells who does it, and goes on until it is let go."""

    def __init__(self, *, long: bool = False, urgent: bool = False) -> None:
        self.urgent = urgent
        self.begun, self.let_go, self.ended = threading.Event(), threading.Event(), threading.Event()
        self.thread = ""
        if not long:
            self.let_go.set()

    def service(self) -> None:
        self.thread = threading.current_thread().name
        self.begun.set()
        self.let_go.wait(LIMIT_S)
        self.ended.set()


class Failing(Task):
    """A task that fails."""

    def service(self) -> None:
        super().service()
        raise ValueError("a fault")


class Office:
    """Where tasks come in, are done by so many threads, and are watched."""

    def __init__(self, count: int) -> None:
        self.come: deque[Task] = deque()
        self.looks = 0
        self.turns = Turns(count, self.look)

    def look(self, seconds: float | None) -> None:
        self.looks += 1
        time.sleep(0.001 if seconds is None else seconds)
        while self.come:
            self.turns.add_task(self.come.popleft())

    def watched_until(self, event: threading.Event) -> None:
        deadline = time.monotonic() + LIMIT_S
        while not event.is_set():
            assert time.monotonic() < deadline
            self.turns.watch(0.01)


@contextmanager
def office(count: int) -> Iterator[Office]:
    found = Office(count)
    found.turns.start()
    yield found
    found.turns.stop(LIMIT_S)


def test_short_tasks_are_done_by_the_thread_that_finds_them() -> None:
    with office(3) as found:
        tasks = [Task() for _ in range(20)]
        found.come.extend(tasks)
        assert all(task.ended.wait(LIMIT_S) for task in tasks)
        assert len({task.thread for task in tasks}) == 1


def test_task_that_comes_during_a_long_one_is_done_by_another_thread() -> None:
    with office(2) as found:
        long, short = Task(long=True), Task()
        found.come.append(long)
        assert long.begun.wait(LIMIT_S)
        found.come.append(short)
        found.watched_until(short.ended)
        assert not long.ended.is_set()
        assert short.thread != long.thread
        long.let_go.set()


def test_no_more_are_done_at_once_than_there_are_threads_for_and_connections_are_looked_at_still() -> None:
    with office(2) as found:
        tasks = [Task(long=True) for _ in range(3)]
        found.come.extend(tasks)
        found.watched_until(tasks[1].begun)
        before = found.looks
        deadline = time.monotonic() + LIMIT_S
        while found.looks < before + 3 and time.monotonic() < deadline:
            found.turns.watch(0.01)
        assert found.looks >= before + 3
        assert not tasks[2].begun.is_set()
        tasks[0].let_go.set()
        found.watched_until(tasks[2].begun)
        for task in tasks:
            task.let_go.set()


def test_task_that_fails_ends_no_thread(caplog: pytest.LogCaptureFixture) -> None:
    with office(1) as found:
        tasks = [Failing() for _ in range(5)]
        found.come.extend(tasks)
        assert all(task.ended.wait(LIMIT_S) for task in tasks)
        good = Task()
        found.come.append(good)
        assert good.ended.wait(LIMIT_S)
    assert caplog.text.count("a request could not be answered") == 5


def test_look_that_fails_is_followed_by_another(caplog: pytest.LogCaptureFixture) -> None:
    looks = threading.Semaphore(0)

    def look(_: float | None) -> None:
        looks.release()
        raise ValueError("a fault")

    turns = Turns(1, look)
    turns.start()
    assert all(looks.acquire(timeout=LIMIT_S) for _ in range(3))
    turns.stop(LIMIT_S)
    assert "could not be looked at" in caplog.text


def test_urgent_task_is_done_while_all_others_wait() -> None:
    with office(1) as found:
        long, waiting, urgent = Task(long=True), Task(), Task(urgent=True)
        found.come.append(long)
        assert long.begun.wait(LIMIT_S)
        found.come.extend([waiting, urgent])
        found.watched_until(urgent.ended)
        assert not waiting.begun.is_set()
        long.let_go.set()
