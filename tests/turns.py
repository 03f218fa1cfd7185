"""Turns of tests that run in several processes: one that measures time is to run while no other does."""

from __future__ import annotations

import fcntl
import os
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

_ROOM = Path(__file__)  # files of the checkout, so that none has to be made and taken away
_DOOR = Path(__file__).with_name("conftest.py")


@contextmanager
def turn(*, alone: bool) -> Iterator[None]:
    """Wait for the turn of a test and hold it: together with others, or `alone` among all processes."""
    if "PYTEST_XDIST_WORKER" not in os.environ:
        yield
        return
    with _ROOM.open() as room, _DOOR.open() as door:
        fcntl.flock(door, fcntl.LOCK_EX)  # nobody else goes in while one waits for an empty room
        fcntl.flock(room, fcntl.LOCK_EX if alone else fcntl.LOCK_SH)
        fcntl.flock(door, fcntl.LOCK_UN)
        try:
            yield
        finally:
            fcntl.flock(room, fcntl.LOCK_UN)  # by name: a process that the test has forked may hold the file open
