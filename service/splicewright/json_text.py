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

from splicewright.reading import Document, NotText, Says, join, shown

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
        raise NotText(error.says, *_place(data, error.sign)) from None
    except RecursionError:
        raise NotText(Says("nested too deeply", "too-deep")) from None
    except ValueError as error:
        raise NotText(*_told(error, data)) from None


def read_json_document(data: bytes) -> Document:
    """Read one JSON text, with the line and column of each part. Raises `NotText`."""
    value = read_json(data)
    text = data.decode()
    places = _Places(text)
    found: dict[str, tuple[int, int]] = {}
    for pointer, offset, _ in _parts(text):
        found.setdefault(pointer, places.of(offset))
    return Document(value, functools.partial(_nearest, found))


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

    `sign` is the key as a pointer ends in it, or the number as it is written.
    """

    def __init__(self, says: Says, sign: str) -> None:
        super().__init__(says)
        self.says, self.sign = says, sign


def _once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    found = dict(pairs)
    if len(found) != len(pairs):
        seen: set[str] = set()
        for key, _ in pairs:
            if key in seen:
                raise _Unwanted(Says(f"the key {shown(key)} stands twice in one object", "key-twice"), join("", key))
            seen.add(key)
    return found


def _finite(text: str) -> float:
    number = float(text)
    if not math.isfinite(number):
        raise _Unwanted(Says(f"the number {text[:20]} is out of range", "not-json"), text)
    return number


def _place(data: bytes, sign: str) -> tuple[int, int]:
    """Give line and column of the key where it stands again, or of the first number that is written so."""
    text, seen = data.decode(), set[tuple[int | None, str]]()
    for pointer, offset, key_of in _parts(text):
        known = key_of is not None and pointer.endswith(sign)
        if (known and (key_of, pointer) in seen) or (key_of is None and text.startswith(sign, offset)):
            return _Places(text).of(offset)
        if known:
            seen.add((key_of, pointer))
    return 1, 1


def _written(value: Any) -> bytes:
    try:
        return orjson.dumps(value)
    except orjson.JSONEncodeError:  # nested more deeply than it writes
        return b""


def _without_blanks(text: bytes) -> bytes:
    return text.translate(None, b" \t\r\n")


class _Places:
    """Lines and columns of a text, in characters, both from 1."""

    def __init__(self, text: str) -> None:
        self._starts = [0, *(match.end() for match in re.finditer("\n", text))]

    def of(self, offset: int) -> tuple[int, int]:
        """Give the line and column of an offset."""
        line = bisect_right(self._starts, offset)
        return line, offset - self._starts[line - 1] + 1


def _nearest(found: dict[str, tuple[int, int]], pointer: str) -> tuple[int, int]:
    while pointer and pointer not in found:
        pointer = pointer.rpartition("/")[0]
    return found.get(pointer, (1, 1))


def _parts(text: str) -> Iterator[tuple[str, int, int | None]]:
    """Give the pointer and the offset of each part of a valid JSON text; a member begins with its key.

    Of a member also the offset of the object that it belongs to.
    """
    around: list[tuple[str, int, int]] = []  # of what is open: pointer, next index (-1: an object), offset
    pointer, key = "", False
    for match in _TOKEN.finditer(text):
        part = match[0]
        if part in "}]":
            around.pop()
        elif part == ",":
            opened, index, offset = around[-1]
            key = index < 0
            if not key:
                around[-1] = (opened, index + 1, offset)
                pointer = join(opened, index + 1)
        elif part == ":":
            key = False
        elif key:
            pointer = join(around[-1][0], json.loads(part))
            yield pointer, match.start(), around[-1][2]
        else:
            yield pointer, match.start(), None
            if part in "{[":
                around.append((pointer, -1 if part == "{" else 0, match.start()))
                key = part == "{"
                pointer = pointer if key else join(pointer, 0)
