"""Memory that forked workers share: in it they hand answers over, and what one has settled the others find.

Through pipes each answer would be copied four times, and each worker would meet each question anew.
"""

from __future__ import annotations

import mmap
import pickle
import struct
from collections.abc import Iterator
from contextlib import AbstractContextManager
from typing import Any

from splicewright.answering.answer_json import Body
from splicewright.answering.chooser import CACHE_BYTES, AnswerCache, Known

SLOT_BYTES = 16_000_000  # answers to a block, told in full, are about as many; what is not written to takes no memory
SETTLED_BYTES = 32_000_000
_SIZE = struct.Struct("<Q")


class Slots:
    """Places in which answers are handed over, each to one reader."""

    def __init__(self, count: int) -> None:
        """Make so many."""
        self._slots = [mmap.mmap(-1, SLOT_BYTES) for _ in range(count)]

    def put(self, at: int, text: bytes) -> bool:
        """Put a text into a slot, and say whether it had room."""
        if len(text) > SLOT_BYTES:
            return False
        self._slots[at][: len(text)] = text
        return True

    def take(self, at: int, size: int) -> bytes:
        """Give the text of so many bytes that was put into a slot."""
        return self._slots[at][:size]


class Settled:
    """What was settled by any of the processes, in the order in which it was added; when there is no room, no more."""

    def __init__(self, lock: AbstractContextManager[Any], most_bytes: int = SETTLED_BYTES) -> None:
        """Begin with nothing. The lock is one between processes."""
        self._lock, self._memory, self._most = lock, mmap.mmap(-1, most_bytes), most_bytes
        self._memory[: _SIZE.size] = _SIZE.pack(_SIZE.size)
        self._seen = _SIZE.size  # of what others added, by this process

    def add(self, key: Any, value: Body | Known) -> None:
        """Let the other processes find it."""
        record = pickle.dumps((key, value), pickle.HIGHEST_PROTOCOL)
        with self._lock:
            end = self._end()
            stop = end + _SIZE.size + len(record)
            if stop > self._most:
                return
            self._memory[end:stop] = _SIZE.pack(len(record)) + record
            # Only now is it there: a process that is ended halfway leaves no half of it.
            self._memory[: _SIZE.size] = _SIZE.pack(stop)

    def news(self) -> Iterator[tuple[Any, Body | Known]]:
        """Give what was added since this process last asked, its own too."""
        with self._lock:
            end = self._end()
        while self._seen < end:
            begin = self._seen + _SIZE.size
            (size,) = _SIZE.unpack(self._memory[self._seen : begin])
            self._seen = begin + size
            # Processes of this batch alone can write here.
            yield pickle.loads(self._memory[begin : self._seen])  # noqa: S301

    def _end(self) -> int:
        (end,) = _SIZE.unpack(self._memory[: _SIZE.size])
        return int(end)


class SharingCache(AnswerCache):
    """The answers that this process keeps, and those that others settled meanwhile."""

    def __init__(self, settled: Settled) -> None:
        """Keep as much as without others."""
        super().__init__(CACHE_BYTES)
        self._settled = settled

    def by_bytes(self, shown: tuple[str, ...], rest: bytes) -> Known | None:
        """Find the answer to a question by its bytes; where it is not kept, also among what others settled."""
        known = super().by_bytes(shown, rest)
        if known is None:
            for key, value in self._settled.news():
                self._put(key, value)
            known = super().by_bytes(shown, rest)
        return known

    def keep(self, key: bytes, body: Body) -> None:
        """Keep a body, for all."""
        super().keep(key, body)
        self._settled.add(key, body)

    def remember(self, shown: tuple[str, ...], rest: bytes, known: Known) -> None:
        """Remember what the bytes of a question lead to, for all."""
        super().remember(shown, rest, known)
        self._settled.add((shown, rest), known)
