"""Spans of whole lines of a file that is there: found by one process, read and answered by others."""

from __future__ import annotations

import io
import os
import stat
from collections import Counter
from collections.abc import Iterator, Sequence
from typing import Any, NamedTuple

from splicewright.answering.chooser import Chooser
from splicewright.batch.lines import BLOCK_BYTES, BlockAnswer, answer_block, blocks


class Span(NamedTuple):
    """Whole lines of a file: the number (from 1) of the first, and where they stand, in bytes."""

    first: int
    offset: int
    size: int


class SpanFile:
    """A plain file, read from where it stands. Forked processes read it beside each other."""

    def __init__(self, stream: Any) -> None:
        """Read from where the stream stands. Raises `OSError` where it is no plain file, but a pipe or the like."""
        self._stream, self._file = stream, stream.fileno()  # the stream stays open as long as this is used
        if not stat.S_ISREG(os.fstat(self._file).st_mode):
            raise io.UnsupportedOperation("is no plain file")
        self._begin = stream.tell()

    def spans(self, size: int = BLOCK_BYTES, *, first: int = 1) -> Iterator[Span]:
        """Cut the file into spans as `blocks` cuts a stream; the last line may lack its newline."""
        begin = end = self._begin
        while chunk := os.pread(self._file, size, end):
            cut = chunk.rfind(b"\n") + 1
            if cut:
                yield Span(first, begin, end + cut - begin)
                first += chunk.count(b"\n")
                begin = end = end + cut
            else:
                end += len(chunk)
        if end > begin:
            yield Span(first, begin, end - begin)

    def answer(self, chooser: Chooser, span: Span, *, explain: str, include: Sequence[str] = ()) -> BlockAnswer:
        """Answer the lines of a span."""
        within = _Within(self._file, span)
        answers = [
            answer_block(chooser, block, explain=explain, include=include) for block in blocks(within, first=span.first)
        ]
        if len(answers) == 1:
            return answers[0]
        return BlockAnswer(
            b"".join([one.text for one in answers]),
            sum(one.lines for one in answers),
            sum(one.asked for one in answers),
            sum((Counter(one.outcomes) for one in answers), Counter[str]()),
        )


class _Within:
    """What stands in a span, as a stream: of a line that is too long, `blocks` keeps no more than the beginning."""

    def __init__(self, file: int, span: Span) -> None:
        self._file, self._at, self._end = file, span.offset, span.offset + span.size

    def read(self, size: int, /) -> bytes:
        found = os.pread(self._file, min(size, self._end - self._at), self._at)
        self._at += len(found)
        return found
