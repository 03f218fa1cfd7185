"""Measures things in turn, so that whatever else the machine does falls on all of them alike."""

from __future__ import annotations

import gc
import resource
import time
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager

Work = Callable[[], object]


def in_turn(works: Mapping[str, Work], runs: int) -> dict[str, list[float]]:
    """Give the processor seconds of each work in each run, all threads counted. The first run is not counted.

    A run does each work once, beginning with another one each time.
    """
    names = list(works)
    found: dict[str, list[float]] = {name: [] for name in names}
    for run in range(runs + 1):
        first = run % len(names)
        for name in names[first:] + names[:first]:
            seconds = processor_seconds(works[name])
            if run:
                found[name].append(seconds)
    return found


def processor_seconds(work: Work) -> float:
    """Give the processor seconds that one work takes."""
    gc.collect()
    started = time.process_time()
    work()
    return time.process_time() - started


def wall_seconds(work: Work) -> float:
    """Give the seconds that one work takes by the clock."""
    started = time.perf_counter()
    work()
    return time.perf_counter() - started


@contextmanager
def children_seconds() -> Iterator[list[float]]:
    """Give a list to which the processor seconds of the processes that end meanwhile are added."""
    found: list[float] = []
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    yield found
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    found.append(after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime)


def each(seconds: Sequence[float], count: int) -> list[float]:
    """Give the microseconds of each of so many."""
    return [1e6 * second / count for second in seconds]


def rates(seconds: Sequence[float], count: int) -> list[float]:
    """Give how many of so many were done in a second."""
    return [count / second for second in seconds]
