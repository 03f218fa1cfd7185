"""Lines in gzip files: read as they are unpacked, written so that whole ones are kept whatever stops the writing."""

from __future__ import annotations

import errno
import gzip
import zlib
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import BinaryIO

from splicewright.cli.other_bytes import FIRST
from splicewright.cli.output import EarlierOutput, LineFile

_CHUNK = 1 << 20
_FAST = 1  # answers repeat themselves: more effort makes them little smaller, and the writing several times slower
_MEMBER = 31  # how the library is told to read a gzip member


class Unpacked:
    """The lines of a gzip file, as a stream. Raises `OSError` where it is damaged or cut off."""

    def __init__(self, path: str) -> None:
        """Open the file."""
        self._name = path
        self._file = gzip.open(path, "rb")  # noqa: SIM115 - closed by `close`

    def read(self, size: int, /) -> bytes:
        """Give at most `size` bytes; none at the end."""
        return self._read(self._file.read1, size)

    def readline(self, size: int, /) -> bytes:
        """Give the next line, or the first `size` bytes of it."""
        return self._read(self._file.readline, size)

    def first_bytes(self) -> bytes:
        """Give the first bytes of what is packed, and leave them there."""
        return self._read(self._file.peek, FIRST)[:FIRST]

    def close(self) -> None:
        """Close the file."""
        self._file.close()

    def _read(self, read: Callable[[int], bytes], size: int) -> bytes:
        try:
            return read(size)
        except (gzip.BadGzipFile, EOFError, zlib.error) as error:
            raise OSError(errno.EIO, f"is no whole gzip file: {error}", self._name) from None


class PackedLines(LineFile):
    """A gzip file of lines. What is written at once is a member of its own, so that only whole ones are left."""

    def write(self, text: bytes, lines: int) -> None:
        """Write whole lines, or none of them."""
        packed = memoryview(gzip.compress(text, _FAST, mtime=0))
        done = 0
        try:
            while done < len(packed):
                done += self._file.write(packed[done:]) or 0
        finally:
            if done < len(packed):
                self._file.truncate(self._end)
        self._end += done
        self.lines += lines


def whole_packed_lines(path: Path, *, is_error: bytes) -> EarlierOutput:
    """Look through a gzip file of lines; a member that is cut off does not count. Raises `OSError`.

    `is_error` is what a line holds that may be an error line. A member that does not end in a whole line is the last.
    """
    lines = size = errors = 0
    first = last = b""
    with path.open("rb") as file:
        for text, end in _members(file):
            if not text.endswith(b"\n"):
                break
            found = text[:-1].split(b"\n")
            lines, errors, size = lines + len(found), errors + sum(is_error in line for line in found), end
            first, last = first or found[0] + b"\n", found[-1] + b"\n"
    return EarlierOutput(lines, size, errors, first, last)


def _members(file: BinaryIO) -> Iterator[tuple[bytes, int]]:
    """Give what each whole member holds, and where it ends in the file."""
    end, rest = 0, b""
    while True:
        member, text = zlib.decompressobj(_MEMBER), b""
        while not member.eof:
            chunk = rest or file.read(_CHUNK)
            if not chunk:
                return
            try:
                text += member.decompress(chunk)
            except zlib.error:
                return
            end, rest = end + len(chunk), b""
        rest = member.unused_data
        end -= len(rest)
        yield text, end
