"""What a worker process of a batch does: answers pieces of the questions, until its parent ends."""

from __future__ import annotations

import multiprocessing
import os
import signal
import threading
from collections.abc import Sequence
from multiprocessing import connection
from typing import NamedTuple

from splicewright.answering.chooser import Chooser
from splicewright.answering.process_choosers import chooser_of
from splicewright.batch.lines import Block, BlockAnswer, answer_block
from splicewright.batch.shared_memory import Settled, SharingCache, Slots
from splicewright.batch.spans import Span, SpanFile
from splicewright.project.reading import Project


class Told(NamedTuple):
    """How much is told of a question that does not say."""

    explain: str
    include: Sequence[str]


class Shared(NamedTuple):
    """What a worker has from its parent: the project, and where it was forked, what they share."""

    project: Project | None = None
    file: SpanFile | None = None
    slots: Slots | None = None
    settled: Settled | None = None


_shared = Shared()


def begin(shared: Shared) -> None:
    """Live and end with the parent."""
    global _shared  # noqa: PLW0603 - given once, when the process begins
    _shared = shared
    if shared.settled:
        chooser_of(shared.project).keep_in(SharingCache(shared.settled))
    # Ctrl-C reaches every process of a terminal; the parent ends the work after a whole block.
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    signal.signal(signal.SIGTERM, signal.SIG_DFL)  # the parent's handler came along with the fork
    if parent := multiprocessing.parent_process():
        threading.Thread(target=_end_after, args=(parent.sentinel,), daemon=True).start()


def _end_after(parent: int) -> None:
    # A parent that was killed closes no queue: its workers would wait for blocks, or for room to answer, for ever.
    connection.wait([parent])
    os._exit(1)


def answer_here(piece: Block | Span, told: Told, slot: int) -> tuple[BlockAnswer, int]:
    """Give the answers; or, with the size of their text, leave that in a slot."""
    answer = answer_piece(chooser_of(_shared.project), piece, _shared.file, told)
    if _shared.slots and _shared.slots.put(slot, answer.text):
        return answer._replace(text=b""), len(answer.text)
    return answer, 0


def answer_piece(chooser: Chooser, piece: Block | Span, file: SpanFile | None, told: Told) -> BlockAnswer:
    """Answer a block, or a span of the file."""
    if isinstance(piece, Block):
        return answer_block(chooser, piece, explain=told.explain, include=told.include)
    assert file is not None
    return file.answer(chooser, piece, explain=told.explain, include=told.include)
