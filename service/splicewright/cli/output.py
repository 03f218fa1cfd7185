"""Where lines are written: whole ones only, whatever stops the writing, so that the work can go on after them."""

from __future__ import annotations

import os
import sys
from dataclasses import dataclass
from pathlib import Path
from typing import BinaryIO, Protocol

_CHUNK = 1 << 20


class Output(Protocol):
    """What whole lines are written to."""

    name: str
    lines: int  # that it holds, or was handed

    def write(self, text: bytes, lines: int) -> None:
        """Write so many whole lines. Raises `OSError`; where that can be helped none of them is then half written."""

    def close(self) -> None:
        """Finish. Raises `OSError`."""

    def discard(self) -> None:
        """Let go of what can't be finished; nothing where it is."""


class StandardOutput:
    """Standard output. What was handed over can't be taken back."""

    name = "standard output"

    def __init__(self) -> None:
        self.lines = 0

    def write(self, text: bytes, lines: int) -> None:
        """Write and hand over at once."""
        sys.stdout.buffer.write(text)
        sys.stdout.buffer.flush()
        self.lines += lines

    def close(self) -> None:
        """Leave it open: it is not ours."""

    def discard(self) -> None:
        """Leave it open."""


@dataclass(frozen=True, slots=True)
class EarlierOutput:
    """What an earlier run left: whole lines, their bytes, how many are errors, and the first and last of them."""

    lines: int
    size: int
    errors: int
    first: bytes
    last: bytes


class LineFile:
    """A file that ends in a whole line, also where the disk is full or the process is killed and started again."""

    def __init__(self, path: Path, kept: EarlierOutput | None = None) -> None:
        """Make the file, or go on with it after what is kept of it. Raises `OSError`."""
        self.name = str(path)
        self.lines = kept.lines if kept else 0
        self._end = kept.size if kept else 0
        self._file = path.open("r+b" if kept else "xb", buffering=0)
        self._file.truncate(self._end)
        self._file.seek(self._end)

    def write(self, text: bytes, lines: int) -> None:
        """Write whole lines; where the disk is full, those that still fit."""
        view, done = memoryview(text), 0
        try:
            while done < len(view):
                done += self._file.write(view[done:]) or 0
        finally:
            whole = text.rfind(b"\n", 0, done) + 1
            self._end += whole
            self.lines += lines if whole == len(text) else text.count(b"\n", 0, whole)
            if whole < len(text):
                self._file.truncate(self._end)

    def close(self) -> None:
        """Bring what was written to the disk."""
        os.fsync(self._file.fileno())
        self._file.close()

    def discard(self) -> None:
        """Leave the whole lines that it has."""
        self._file.close()


def whole_lines(path: Path, *, is_error: bytes) -> EarlierOutput:
    """Look through a file of lines; a last one without its newline does not count. Raises `OSError`.

    `is_error` is what a line holds that may be an error line.
    """
    lines = size = errors = 0
    first = last = b""
    with path.open("rb") as file:
        for line in file:
            if not line.endswith(b"\n"):
                break
            lines += 1
            size += len(line)
            errors += is_error in line
            first = first or line
            last = line
    return EarlierOutput(lines, size, errors, first, last)


def skip_lines(stream: BinaryIO, count: int) -> tuple[bytes, bytes, int]:
    """Read `count` lines: the first, the last, and how many there were. Of a very long one only the beginning."""
    first = last = b""
    for number in range(count):
        last = part = stream.readline(_CHUNK)
        if not last:
            return first, b"", number
        while part and not part.endswith(b"\n"):
            part = stream.readline(_CHUNK)
        first = first or last
    return first, last, count
