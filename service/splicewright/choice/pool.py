"""Batches over several worker processes: blocks go out, answers come back in order, memory stays constant."""

from __future__ import annotations

import itertools
import multiprocessing
import os
from collections import deque
from collections.abc import Iterator
from concurrent.futures import Future, ProcessPoolExecutor

from splicewright.choice.chooser import shipped_chooser
from splicewright.choice.lines import Block, BlockAnswer, Readable, answer_block, blocks
from splicewright.question.read import DEFAULTS

_AHEAD = 3  # blocks under way for each worker: enough to keep it busy, few enough to bound memory


def default_workers() -> int:
    """Give the number of processors that this process may use."""
    return len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1


def answer_stream(stream: Readable, *, explain: str, workers: int) -> Iterator[BlockAnswer]:
    """Answer a stream of lines block by block, in order. What fits in one block is answered in this process."""
    found = blocks(stream)
    begin = list(itertools.islice(found, 2))
    everything = itertools.chain(begin, found)
    if workers == 1 or len(begin) < 2:
        for block in everything:
            yield answer_block(shipped_chooser(), block, explain=explain)
        return
    yield from _in_workers(everything, explain, workers)


def _in_workers(everything: Iterator[Block], explain: str, workers: int) -> Iterator[BlockAnswer]:
    # Rules and catalogue are read once, before the fork; each worker opens a session of the engine of its own.
    chooser = shipped_chooser()
    chooser.engine(DEFAULTS[""]["code"])
    chooser.catalogue(DEFAULTS[""]["catalogue"])
    method = "fork" if "fork" in multiprocessing.get_all_start_methods() else "spawn"
    with ProcessPoolExecutor(workers, mp_context=multiprocessing.get_context(method)) as pool:
        under_way: deque[Future[BlockAnswer]] = deque()
        try:
            for block in everything:
                under_way.append(pool.submit(_answer_here, block, explain))
                if len(under_way) >= workers * _AHEAD:
                    yield under_way.popleft().result()
            while under_way:
                yield under_way.popleft().result()
        finally:
            pool.shutdown(cancel_futures=True)


def _answer_here(block: Block, explain: str) -> BlockAnswer:
    return answer_block(shipped_chooser(), block, explain=explain)
