"""Batches over several worker processes: blocks go out, answers come back in order, memory stays constant."""

from __future__ import annotations

import itertools
import multiprocessing
import os
import signal
import threading
from collections import deque
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor
from multiprocessing import connection
from typing import Protocol

from splicewright.answering.chooser import chooser_of
from splicewright.batch.lines import Block, BlockAnswer, Readable, answer_block, blocks
from splicewright.project.reading import Project

_AHEAD = 3  # blocks under way for each worker: enough to keep it busy, few enough to bound memory


def default_workers() -> int:
    """Give the number of processors that this process may use."""
    return len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1


def answer_stream(
    stream: Readable, *, explain: str, include: Sequence[str] = (), workers: int
) -> Iterator[BlockAnswer]:
    """Answer a stream of lines block by block, in order. What fits in one block is answered in this process."""
    return answer_blocks(blocks(stream), explain=explain, include=include, workers=workers)


def answer_blocks(
    found: Iterator[Block],
    *,
    explain: str,
    include: Sequence[str] = (),
    workers: int,
    project: Project | None = None,
) -> Iterator[BlockAnswer]:
    """Answer blocks in order, in `workers` processes; a single block is answered in this process.

    `project` says what stands for questions that do not say it. Raises `Faults` where what it names is not there.
    """
    # Rules and catalogue are read once, before any fork; each worker opens a session of the engine of its own.
    chooser = chooser_of(project)
    chooser.warm_up()
    begin = list(itertools.islice(found, 2))
    everything = itertools.chain(begin, found)
    if workers == 1 or len(begin) < 2:
        for block in everything:
            yield answer_block(chooser, block, explain=explain, include=include)
        return
    yield from _in_workers(everything, explain, include, workers, project)


def _in_workers(
    everything: Iterator[Block], explain: str, include: Sequence[str], workers: int, project: Project | None
) -> Iterator[BlockAnswer]:
    method = "fork" if "fork" in multiprocessing.get_all_start_methods() else "spawn"
    context = multiprocessing.get_context(method)
    with ProcessPoolExecutor(workers, mp_context=context, initializer=_begin, initargs=(project,)) as pool:
        try:
            yield from in_order(lambda block: pool.submit(_answer_here, block, explain, include), everything, workers)
        finally:
            pool.shutdown(cancel_futures=True)


class Promised(Protocol):
    """An answer that is being made."""

    def result(self) -> BlockAnswer:
        """Wait for it."""


def in_order(submit: Callable[[Block], Promised], everything: Iterator[Block], workers: int) -> Iterator[BlockAnswer]:
    """Hand blocks out, a few ahead of what has come back, and give the answers in the order of the blocks."""
    under_way: deque[Promised] = deque()
    for block in everything:
        under_way.append(submit(block))
        if len(under_way) >= workers * _AHEAD:
            yield under_way.popleft().result()
    while under_way:
        yield under_way.popleft().result()


_project: Project | None = None  # of this worker


def _begin(project: Project | None) -> None:
    global _project  # noqa: PLW0603 - a worker is begun once
    _project = project
    _live_and_end_with_the_parent()


def _live_and_end_with_the_parent() -> None:
    # Ctrl-C reaches every process of a terminal; the parent ends the work after a whole block.
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    signal.signal(signal.SIGTERM, signal.SIG_DFL)  # the parent's handler came along with the fork
    if parent := multiprocessing.parent_process():
        threading.Thread(target=_end_after, args=(parent.sentinel,), daemon=True).start()


def _end_after(parent: int) -> None:
    # A parent that was killed closes no queue: its workers would wait for blocks, or for room to answer, for ever.
    connection.wait([parent])
    os._exit(1)


def _answer_here(block: Block, explain: str, include: Sequence[str]) -> BlockAnswer:
    return answer_block(chooser_of(_project), block, explain=explain, include=include)
