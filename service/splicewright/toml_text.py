"""Reads TOML text into a document that knows the line of each of its parts, so that what is wrong is told by line.

The library that reads it tells no lines. A statement is the fewest lines that it takes for TOML by themselves, so the
text is taken apart by that library too, once something is to be told.
"""

from __future__ import annotations

import datetime as dt
import functools
import re
import tomllib
from collections import Counter
from collections.abc import Iterator, Mapping
from typing import Any

from splicewright.document import Document
from splicewright.json_pointer import join
from splicewright.refusals import NotText

_MAY_END = re.compile(r"[\]}]|\"{3}|'{3}")  # the last line of a statement of several has one of these
_MOST_TRIED = 1_000_000  # characters
_AT_LINE = re.compile(r"(.*) \(at (?:line (\d+), column (\d+)|end of document)\)\Z", re.DOTALL)


def read_toml(content: bytes | str, file: str = "") -> Document:
    """Read a TOML document; days and times become text. Its faults are told under `file`. Raises `NotText`."""
    try:
        text = content.decode("utf-8-sig") if isinstance(content, bytes) else content
        value = _plain(tomllib.loads(text))
    except UnicodeDecodeError:
        raise NotText("is not UTF-8 text", 1) from None
    except tomllib.TOMLDecodeError as error:
        at = _AT_LINE.match(str(error))
        says, line = (at[1], int(at[2] or text.count("\n") + 1)) if at else (str(error), 1)
        raise NotText(f"not TOML: {says}", line) from None
    except RecursionError:
        raise NotText("is nested too deeply", 1) from None
    except ValueError:  # a number that no machine can take, which is no fault of its grammar
        raise NotText("holds a number, day or time that can't be", 1) from None
    return Document(value, functools.partial(_where, text), file)


def _plain(value: Any) -> Any:
    if isinstance(value, Mapping):
        return {key: _plain(inner) for key, inner in value.items()}
    if isinstance(value, list):
        return [_plain(inner) for inner in value]
    return value.isoformat() if isinstance(value, dt.date | dt.time) else value


def _where(text: str, pointer: str) -> tuple[int, int]:
    lines = _lines(text)
    while pointer and pointer not in lines:
        pointer = pointer.rpartition("/")[0]
    return lines.get(pointer, 1), 1


@functools.lru_cache(maxsize=8)
def _lines(text: str) -> dict[str, int]:
    """Give the line of each part of a text that is TOML, by its pointer."""
    found: dict[str, int] = {}
    listed: Counter[str] = Counter()  # tables that stand in lists, by the pointer of the list
    table = ""
    for line, written, value in _statements(text):
        if written.startswith("["):
            for table in _header(value, listed, more=written.startswith("[[")):
                found.setdefault(table, line)
        else:
            for pointer in _parts(value, table):
                found.setdefault(pointer, line)
    return found


def _statements(text: str) -> Iterator[tuple[int, str, dict[str, Any]]]:
    """Give each statement with the line on which it begins, as written, and as it is read alone.

    What comes after too much trying is not given, and so is told with the line of what is around it.
    """
    first, written, tried = 1, "", 0
    for number, line in enumerate(text.split("\n"), start=1):
        goes_on = bool(written)
        written += line + "\n"
        if goes_on and not _MAY_END.search(line):
            continue
        tried += len(written)
        if tried > _MOST_TRIED:
            return
        try:
            value = tomllib.loads(written)
        except ValueError:
            continue  # it goes on
        if value:
            yield first, written.strip(), value
        first, written = number + 1, ""


def _header(value: Mapping[str, Any], listed: Counter[str], *, more: bool) -> Iterator[str]:
    """Give the pointers to the table that a header opens, its own last; with `more` it is one more in a list."""
    pointer, inner = "", value
    while inner:
        ((key, below),) = inner.items()
        pointer, inner = join(pointer, key), below[0] if isinstance(below, list) else below
        yield pointer
        listed[pointer] += more and not inner
        if listed[pointer]:
            pointer = join(pointer, listed[pointer] - 1)
            yield pointer


def _parts(value: Any, pointer: str) -> Iterator[str]:
    parts = value.items() if isinstance(value, Mapping) else enumerate(value) if isinstance(value, list) else ()
    for key, inner in parts:
        at = join(pointer, key)
        yield at
        yield from _parts(inner, at)
