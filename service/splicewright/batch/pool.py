"""Batches over several worker processes: pieces go out, answers come back in order, memory stays constant.

Of a plain file workers read their lines themselves; those of a stream are handed to them.
"""

from __future__ import annotations

import itertools
import multiprocessing
import os
from collections import deque
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import Future, ProcessPoolExecutor
from typing import NamedTuple, Protocol, TypeVar

from splicewright.answering.process_choosers import chooser_of
from splicewright.batch.lines import BLOCK_BYTES, Block, BlockAnswer, Readable, blocks
from splicewright.batch.shared_memory import Settled, Slots
from splicewright.batch.spans import Span, SpanFile
from splicewright.batch.worker import Shared, Told, answer_here, answer_piece, begin
from splicewright.project.reading import Project

_AHEAD = 3  # pieces under way for each worker: enough to keep it busy, few enough to bound memory
P = TypeVar("P")


def default_workers() -> int:
    """Give the number of processors that this process may use."""
    return len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1


def answer_stream(
    stream: Readable,
    *,
    first: int = 1,
    explain: str,
    include: Sequence[str] = (),
    workers: int,
    project: Project | None = None,
    size: int = BLOCK_BYTES,
) -> Iterator[BlockAnswer]:
    """Answer a stream of lines piece by piece, in order, in `workers` processes. `first` is the number of its first.

    What fits in one piece of `size` bytes is answered in this process. `project` says what stands for questions that
    do not say it. Raises `Faults` where what it names is not there.
    """
    # Rules and catalogue are read once, before any fork; each worker opens a session of the engine of its own.
    chooser = chooser_of(project)
    chooser.warm_up()
    told = Told(explain, tuple(include))
    file = _plain_file(stream) if workers > 1 else None
    found: Iterator[Block | Span] = file.spans(size, first=first) if file else blocks(stream, size, first=first)
    ahead = list(itertools.islice(found, 2))
    everything = itertools.chain(ahead, found)
    if workers == 1 or len(ahead) < 2:
        for piece in everything:
            yield answer_piece(chooser, piece, file, told)
        return
    yield from _in_workers(everything, Shared(project, file), told, workers)


def _plain_file(stream: Readable) -> SpanFile | None:
    try:
        return SpanFile(stream) if _forks() else None
    except (OSError, AttributeError):
        return None


def _forks() -> bool:
    return "fork" in multiprocessing.get_all_start_methods()


def _in_workers(everything: Iterator[Block | Span], shared: Shared, told: Told, workers: int) -> Iterator[BlockAnswer]:
    context = multiprocessing.get_context("fork" if _forks() else "spawn")
    count = workers * _AHEAD
    if _forks():
        shared = shared._replace(slots=Slots(count), settled=Settled(context.Lock()))
    turns = itertools.cycle(range(count))  # a slot was read before its next turn: see `in_order`
    with ProcessPoolExecutor(workers, mp_context=context, initializer=begin, initargs=(shared,)) as pool:

        def submit(piece: Block | Span) -> _Promised:
            slot = next(turns)
            return _Promised(pool.submit(answer_here, piece, told, slot), shared.slots, slot)

        try:
            yield from in_order(submit, everything, workers)
        finally:
            pool.shutdown(cancel_futures=True)


class Promised(Protocol):
    """An answer that is being made."""

    def result(self) -> BlockAnswer:
        """Wait for it."""


class _Promised(NamedTuple):
    future: Future[tuple[BlockAnswer, int]]
    slots: Slots | None
    slot: int

    def result(self) -> BlockAnswer:
        answer, size = self.future.result()
        return answer._replace(text=self.slots.take(self.slot, size)) if self.slots and size else answer


def in_order(submit: Callable[[P], Promised], everything: Iterator[P], workers: int) -> Iterator[BlockAnswer]:
    """Hand pieces out, `_AHEAD` for each worker before the first of them must be back; give answers in their order."""
    under_way: deque[Promised] = deque()
    for piece in everything:
        under_way.append(submit(piece))
        if len(under_way) >= workers * _AHEAD:
            yield under_way.popleft().result()
    while under_way:
        yield under_way.popleft().result()
