"""Tells a file that holds no lines of UTF-8 text by its first bytes, with what to do."""

from __future__ import annotations

import os
from typing import Any

FIRST = 4  # bytes that are looked at
_GZIP = b"\x1f\x8b"
_WIDE = "is UTF-{}; save it as UTF-8"
#: How files of other kinds begin; of two the longer stands first.
_MARKS = {
    _GZIP: "is packed by gzip; unpack it first",
    b"BZh": "is packed by bzip2; unpack it first",
    b"\xfd7zX": "is packed by xz; unpack it first",
    b"\x28\xb5\x2f\xfd": "is packed by zstd; unpack it first",
    b"PAR1": "is a Parquet file; call it .parquet",
    b"PK\x03\x04": "is packed by zip, as workbooks are; name a file of lines, one JSON object each",
    b"\xff\xfe\0\0": _WIDE.format(32),
    b"\0\0\xfe\xff": _WIDE.format(32),
    b"\xff\xfe": _WIDE.format(16),
    b"\xfe\xff": _WIDE.format(16),
}


def first_bytes(stream: Any) -> bytes:
    """Give the first bytes of what is left of a stream, and leave them there; none where it can't be gone back in."""
    try:
        at = stream.fileno()
        return os.pread(at, FIRST, os.lseek(at, 0, os.SEEK_CUR))
    except (OSError, ValueError, AttributeError):
        return b""


def other_than_lines(begin: bytes, name: str) -> str:
    """Word what a file is that begins so, and what to do; empty where it may be lines of text."""
    if begin.startswith(_GZIP) and name != "-":
        return f"is packed by gzip; call it {name}.gz"
    if told := next((told for mark, told in _MARKS.items() if begin.startswith(mark)), ""):
        return told
    zeros = [at for at, one in enumerate(begin) if not one]
    if len(zeros) == FIRST - 1:
        return _WIDE.format(32)
    return _WIDE.format(16) if zeros in ([0, 2], [1, 3]) else ""
