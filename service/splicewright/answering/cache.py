"""Answers kept in their written form, so that a question asked again is neither read nor derived again.

What is kept is the body of an answer: all of it but `id`, `assumed` and `judged`, which belong to the question as it
was sent: they point into it. An answer is found by the bytes it was asked with (less the `id`), else by the question
with its defaults filled in.
"""

from __future__ import annotations

import re
import threading
from dataclasses import dataclass
from typing import Any

import cachetools

from splicewright.choice.judging import JudgedConcern

_ENTRY_OVERHEAD = 400  # bytes that the maps and objects around one entry take, roughly
_JUDGED = 80  # and those of one thing that was judged or not
#: An `id` that stands first or last in the object, and needs no reading: plain characters without escapes.
_ID = r'"id"\s*:\s*("[^"\\\x00-\x1f]{0,400}")'
_ID_FIRST = re.compile(rf"\s*\{{\s*{_ID}\s*,".encode())
_ID_LAST = re.compile(rf",\s*{_ID}\s*\}}\s*\Z".encode())
_LONGEST_ID = 100


@dataclass(frozen=True, slots=True)
class Body:
    """A written answer without its `id`, `assumed` and `judged`: the bytes before and after them."""

    outcome: str
    head: bytes  # `"answer":"…","outcome":"…"`
    tail: bytes  # `"referrals":[…],…`
    work: int = 0  # that looking for its remedies was
    judged: tuple[JudgedConcern, ...] = ()  # what `judged` is written from

    def spliced(self, written_id: bytes | None, own: bytes) -> bytes:
        """Give the whole answer. `written_id` is the id as JSON text, `own` the parts that point into the question."""
        first = b'{"id":' + written_id + b"," if written_id else b"{"
        return b"".join((first, self.head, b",", own, b",", self.tail, b"}"))


@dataclass(frozen=True, slots=True)
class Known:
    """What the bytes of a question lead to: the key of its answer's body, and the parts of it that point into them."""

    key: bytes
    own: bytes
    length: int  # of the bytes that it is known by


def without_id(raw: bytes) -> tuple[bytes, bytes | None]:
    """Take a plain `id` out of a question's bytes: the rest, and the id as JSON text. (raw, None): there is none."""
    match = _ID_FIRST.match(raw)
    if match:
        rest, found = b"{" + raw[match.end() :], match[1]
    elif (match := _ID_LAST.search(raw, max(0, len(raw) - 500))) is not None:
        rest, found = raw[: match.start()] + b"}", match[1]
    else:
        return raw, None
    try:
        if len(found.decode()) <= _LONGEST_ID + 2:
            return rest, found
    except UnicodeDecodeError:
        pass
    return raw, None


class AnswerCache:
    """Bodies and what leads to them, bounded in bytes, the least lately used leaving first. Safe between threads."""

    def __init__(self, most_bytes: int) -> None:
        """Keep at most about `most_bytes`; 0 keeps nothing."""
        self._entries: cachetools.LRUCache[Any, Any] = cachetools.LRUCache(most_bytes, getsizeof=_size)
        self._lock = threading.Lock()
        self.hits_by_bytes = 0
        self.hits_by_question = 0
        self.misses = 0

    def by_bytes(self, explain: str, rest: bytes) -> tuple[Body, bytes] | None:
        """Find the body of a question by its bytes less the id, and the parts of the answer that point into it."""
        with self._lock:
            known: Known | None = self._entries.get((explain, rest))
            body: Body | None = self._entries.get(known.key) if known else None
            if known is None or body is None:
                return None
            self.hits_by_bytes += 1
            return body, known.own

    def by_question(self, key: bytes) -> Body | None:
        """Find a body by its key."""
        with self._lock:
            body: Body | None = self._entries.get(key)
            if body is None:
                self.misses += 1
            else:
                self.hits_by_question += 1
            return body

    def keep(self, key: bytes, body: Body) -> None:
        """Keep a body."""
        self._put(key, body)

    def remember(self, explain: str, rest: bytes, known: Known) -> None:
        """Remember what the bytes of a question lead to."""
        self._put((explain, rest), known)

    def _put(self, key: Any, value: Body | Known) -> None:
        with self._lock:
            if _size(value) <= self._entries.maxsize:
                self._entries[key] = value

    @property
    def bytes_kept(self) -> int:
        """About how many bytes are kept."""
        return int(self._entries.currsize)


def _size(value: Body | Known) -> int:
    if isinstance(value, Body):
        return _ENTRY_OVERHEAD + len(value.head) + len(value.tail) + _JUDGED * len(value.judged)
    return _ENTRY_OVERHEAD + len(value.own) + value.length
