"""Reads JSON text (RFC 8259) strictly, and says what is wrong with it, on which line and in which column."""

from __future__ import annotations

import functools
import json
import math
import re
from bisect import bisect_right
from collections.abc import Iterator
from typing import Any

import orjson

from splicewright.document import Document, Place
from splicewright.refusals import NotText, Says, shown

_TOKEN = re.compile(r'"(?:[^"\\]|\\.)*"|[{}\[\],:]|[^\s{}\[\],:"]+')


def read_json(data: bytes) -> Any:
    """Read one JSON text. Raises `NotText` for anything else, keys that stand twice and infinite numbers included."""
    try:
        found = orjson.loads(data)
        # What differs from what is written back in blanks at most has each key once, and numbers that were kept.
        if _without_blanks(_written(found)) == _without_blanks(data):
            return found
        return json.loads(data, object_pairs_hook=_once, parse_float=_finite)
    except _Unwanted as error:
        raise NotText(error.says, *_place(data, error)) from None
    except RecursionError:
        raise NotText(Says("nested too deeply", "too-deep")) from None
    except ValueError as error:
        raise NotText(*_told(error, data)) from None


def read_json_document(data: bytes) -> Document:
    """Read one JSON text, with the line and column of each part. Raises `NotText`."""
    value = read_json(data)
    return Document(value, functools.partial(_where, data))


def _where(data: bytes, pointer: str) -> tuple[int, int]:
    return _placed(data).where(pointer)


def _told(error: ValueError, data: bytes) -> tuple[str, int, int]:
    """Give what the library says is wrong, with line and column in characters, both from 1."""
    says = Says(f"not JSON: {str(error).partition(': line')[0]}", "not-json")
    try:
        data.decode()
    except UnicodeDecodeError as wrong:  # the library says of bytes that are no UTF-8 only that there are some
        before = data[: wrong.start].decode()
        return says, before.count("\n") + 1, len(before) - before.rfind("\n")
    return says, getattr(error, "lineno", 1), getattr(error, "colno", 1)


class _Unwanted(ValueError):
    """What JSON allows and a question may not have: a key that stands twice, a number out of range.

    `sign` is the key, or the number as it is written.
    """

    def __init__(self, says: Says, sign: str, *, key: bool) -> None:
        super().__init__(says)
        self.says, self.sign, self.key = says, sign, key


def _once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    found = dict(pairs)
    if len(found) != len(pairs):
        seen: set[str] = set()
        for key, _ in pairs:
            if key in seen:
                raise _Unwanted(Says(f"the key {shown(key)} stands twice in one object", "key-twice"), key, key=True)
            seen.add(key)
    return found


def _finite(text: str) -> float:
    number = float(text)
    if not math.isfinite(number):
        raise _Unwanted(Says(f"the number {text[:20]} is out of range", "not-json"), text, key=False)
    return number


def _place(data: bytes, error: _Unwanted) -> tuple[int, int]:
    """Give line and column of the key where it stands again, or of the first number that is written so."""
    text, seen = data.decode(), set[int]()
    for _, step, offset, key_of in _parts(text):
        if key_of is None:
            if not error.key and text.startswith(error.sign, offset):
                return _Lines(text).of(offset)
        elif error.key and step == error.sign:
            if key_of in seen:
                return _Lines(text).of(offset)
            seen.add(key_of)
    return 1, 1


def _written(value: Any) -> bytes:
    try:
        return orjson.dumps(value)
    except orjson.JSONEncodeError:  # nested more deeply than it writes
        return b""


def _without_blanks(text: bytes) -> bytes:
    return text.translate(None, b" \t\r\n")


class _Lines:
    """Lines and columns of a text, in characters, both from 1."""

    def __init__(self, text: str) -> None:
        self._starts = [0, *(match.end() for match in re.finditer("\n", text))]

    def of(self, offset: int) -> tuple[int, int]:
        """Give the line and column of an offset."""
        line = bisect_right(self._starts, offset)
        return line, offset - self._starts[line - 1] + 1


@functools.lru_cache(maxsize=1)  # once something is wrong, much may be
def _placed(data: bytes) -> Place:
    """Give the place of the whole of a valid JSON text, with those of its parts. What has a key begins with it."""
    text = data.decode()
    lines = _Lines(text)
    path: list[Place] = []
    for depth, step, offset, key_of in _parts(text):
        if depth == 0:
            path = [Place(*lines.of(offset))]
        elif key_of is not None or isinstance(step, int):
            around = path[depth - 1]
            around.parts = {} if around.parts is None else around.parts
            place = around.parts.setdefault(step, Place(*lines.of(offset)))
            path[depth:] = [place]
    return path[0]


def _parts(text: str) -> Iterator[tuple[int, str | int, int, int | None]]:
    """Give for each part of a valid JSON text: in how many others it stands, its key or index there, and its offset.

    A member is given twice, with its key's offset and its value's; with the key's also the offset of its object.
    """
    around: list[tuple[int, int]] = []  # of what is open: next index (-1: an object), offset
    step: str | int = ""
    key = False
    for match in _TOKEN.finditer(text):
        part = match[0]
        if part in "}]":
            around.pop()
        elif part == ",":
            index, offset = around[-1]
            key = index < 0
            if not key:
                around[-1] = (index + 1, offset)
                step = index + 1
        elif part == ":":
            key = False
        elif key:
            step = json.loads(part)
            yield len(around), step, match.start(), around[-1][1]
        else:
            yield len(around), step, match.start(), None
            if part in "{[":
                key = part == "{"
                around.append((-1 if key else 0, match.start()))
                step = "" if key else 0
