"""Memory that forked workers share: in it they hand answers over, and what one has settled the others find.

Through pipes each answer would be copied four times, and each worker would meet each question anew.
"""

from __future__ import annotations

import marshal
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

    def __init__(self, lock: AbstractContextManager[Any], memory: mmap.mmap | bytearray | None = None) -> None:
        """Begin with nothing. Lock and memory (all zeros) are ones that processes share."""
        self._lock, self._memory = lock, mmap.mmap(-1, SETTLED_BYTES) if memory is None else memory
        self._seen = _SIZE.size  # of what others added, by this process
        self._own: set[int] = set()  # where what it added itself begins

    def add(self, record: Any) -> None:
        """Let the other processes find a record of plain values."""
        text = marshal.dumps(record)
        with self._lock:
            end = self._end()
            stop = end + _SIZE.size + len(text)
            if stop > len(self._memory):
                return
            self._memory[end:stop] = _SIZE.pack(len(text)) + text
            # Only now is it there: a process that is ended halfway leaves no half of it.
            self._memory[: _SIZE.size] = _SIZE.pack(stop)
        self._own.add(end)

    def news(self) -> Iterator[Any]:
        """Give what others added since this process last asked."""
        with self._lock:
            end = self._end()
        while self._seen < end:
            at, begin = self._seen, self._seen + _SIZE.size
            (size,) = _SIZE.unpack(self._memory[at:begin])
            self._seen = begin + size
            if at in self._own:
                self._own.remove(at)
            else:
                yield marshal.loads(self._memory[begin : self._seen])  # noqa: S302 - written by this batch alone

    def _end(self) -> int:
        (end,) = _SIZE.unpack(self._memory[: _SIZE.size])
        return max(int(end), _SIZE.size)


class SharingCache(AnswerCache):
    """The answers that this process keeps, and those that others settled meanwhile."""

    def __init__(self, settled: Settled) -> None:
        """Keep as much as without others."""
        super().__init__(CACHE_BYTES)
        self._settled = settled
        self._packed: dict[bytes, bytes] = {}  # bodies of others, unpacked when first asked for

    def renewed(self) -> bool:
        """Take in what others settled since; say whether there was anything."""
        found = False
        for key, value in self._settled.news():
            found = True
            if isinstance(value, bytes):
                self._packed[key] = value
            else:
                self._put(key, Known(*value))
        return found

    def by_question(self, key: bytes) -> Body | None:
        """Find a body by its key, also among what others settled."""
        packed = self._packed.pop(key, None)
        if packed is not None:
            self._put(key, pickle.loads(packed))  # noqa: S301 - written by this batch alone
        return super().by_question(key)

    def keep(self, key: bytes, body: Body) -> None:
        """Keep a body, for all."""
        super().keep(key, body)
        self._settled.add((key, pickle.dumps(body, pickle.HIGHEST_PROTOCOL)))

    def remember(self, shown: tuple[str, ...], rest: bytes, known: Known) -> None:
        """Remember what the bytes of a question lead to, for all; what its remedies cost, no batch asks."""
        super().remember(shown, rest, known)
        self._settled.add(((shown, rest), (known.outcome, known.answer, known.length)))
