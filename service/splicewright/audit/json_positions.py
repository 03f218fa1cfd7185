"""Where each part of a JSON text stands."""

from __future__ import annotations

import functools
import json
import re
from bisect import bisect_right
from collections.abc import Iterator

from splicewright.reading import Document, join, read_json

_TOKEN = re.compile(r'"(?:[^"\\]|\\.)*"|[{}\[\],:]|[^\s{}\[\],:"]+')


def read_json_document(data: bytes) -> Document:
    """Read one JSON text, with the line and column of each part. Raises `NotText`."""
    value = read_json(data)
    text = data.decode()
    starts = [0, *(match.end() for match in re.finditer("\n", text))]
    found: dict[str, tuple[int, int]] = {}
    for pointer, offset in _parts(text):
        line = bisect_right(starts, offset)
        found.setdefault(pointer, (line, offset - starts[line - 1] + 1))
    return Document(value, functools.partial(_nearest, found))


def _nearest(found: dict[str, tuple[int, int]], pointer: str) -> tuple[int, int]:
    while pointer and pointer not in found:
        pointer = pointer.rpartition("/")[0]
    return found.get(pointer, (1, 1))


def _parts(text: str) -> Iterator[tuple[str, int]]:
    """Give the pointer and the offset of each part of a valid JSON text; a member begins with its key."""
    around: list[tuple[str, int]] = []  # pointer and next index (-1: an object) of what is open
    pointer, key = "", False
    for match in _TOKEN.finditer(text):
        part = match[0]
        if part in "}]":
            around.pop()
        elif part == ",":
            opened, index = around[-1]
            key = index < 0
            if not key:
                around[-1] = (opened, index + 1)
                pointer = join(opened, index + 1)
        elif part == ":":
            key = False
        elif key:
            pointer = join(around[-1][0], json.loads(part))
            yield pointer, match.start()
        else:
            yield pointer, match.start()
            if part in "{[":
                around.append((pointer, -1 if part == "{" else 0))
                key = part == "{"
                pointer = pointer if key else join(pointer, 0)
