"""Threads of the embedded server are woken one at a time, and a further one where those awake have long been at it."""

from __future__ import annotations

import threading
from collections.abc import Iterator

import pytest

from splicewright.api.channels import Turns

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
