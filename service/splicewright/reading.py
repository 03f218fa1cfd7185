"""Reads YAML and JSON text strictly, and says what is wrong with it and where.

Strict means: duplicate keys, anchors, tags and a second document are refused; only `true` and `false` are
booleans; keys are text; numbers are finite. Nothing is evaluated.
"""

from __future__ import annotations

import difflib
import functools
import itertools
import json
import math
import re
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

import orjson
import yaml

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping

MAX_DEPTH = 40
USE_ONE_OF = "; use one of: "  # stands before the words that would be right
_INTEGER = re.compile(r"[-+]?(0|[1-9][0-9]{0,17})\Z")
_DECIMAL = re.compile(r"[-+]?(?:0|[1-9][0-9]{0,17})(\.[0-9]{1,18})?([eE][-+]?[0-9]{1,3})?\Z")


@dataclass(frozen=True, slots=True)
class Problem:
    """One thing wrong: a JSON Pointer (RFC 6901) into what was given, and a sentence."""

    pointer: str
    says: str


class Refused(ValueError):
    """What was given is not valid. Carries every problem found, never only the first."""

    def __init__(self, problems: Iterable[Problem]) -> None:
        self.problems = tuple(problems)
        super().__init__("; ".join(f"{p.pointer or '(whole)'}: {p.says}" for p in self.problems))


class NotText(Refused):
    """The text itself is not JSON or YAML. `line` and `column` count from 1 where they are known."""

    def __init__(self, says: str, line: int | None = None, column: int | None = None) -> None:
        super().__init__([Problem("", says)])
        self.line, self.column = line, column


@dataclass(frozen=True, slots=True)
class Document:
    """A value read from text, with the line and column (from 1) at which each part of it begins."""

    value: Any
    lines: Mapping[str, int] = field(default_factory=dict)
    columns: Mapping[str, int] = field(default_factory=dict)

    def line(self, pointer: str) -> int:
        """Give the line of the part at `pointer`, or of the nearest part around it."""
        return self.lines.get(self._nearest(pointer), 1)

    def column(self, pointer: str) -> int:
        """Give the column of the part at `pointer`, or of the nearest part around it."""
        return self.columns.get(self._nearest(pointer), 1)

    def _nearest(self, pointer: str) -> str:
        while pointer and pointer not in self.lines:
            pointer = pointer.rpartition("/")[0]
        return pointer


def join(pointer: str, *parts: str | int) -> str:
    """Extend a JSON Pointer, escaping as RFC 6901 says."""
    return pointer + "".join("/" + str(p).replace("~", "~0").replace("/", "~1") for p in parts)


def nearest(word: str, words: Iterable[str]) -> str | None:
    """Give the allowed word that looks most like `word`, if any is near enough to be meant."""
    return _nearest(word[:100].lower(), tuple(words))


@functools.lru_cache(maxsize=1024)
def _nearest(word: str, words: tuple[str, ...]) -> str | None:
    lowered = {one.lower(): one for one in words}
    found = difflib.get_close_matches(word, lowered, n=1, cutoff=0.6)
    return lowered[found[0]] if found else None


def not_allowed(word: str, words: Iterable[str]) -> str:
    """Word the refusal of `word` where only `words` are allowed, with the nearest of them."""
    words = list(words)
    guess = nearest(word, words)
    if guess:
        return f"{shown(word)} is not known; did you mean {guess!r}?"
    if len(words) > 30:
        return f"{shown(word)} is not known"
    return f"{shown(word)} is not known{USE_ONE_OF}{', '.join(words)}"


def shown(value: object) -> str:
    """Write a given value back shortly, as JSON would."""
    try:
        text = json.dumps(value, ensure_ascii=True, default=str)
    except (TypeError, ValueError, RecursionError):
        text = "this value"
    return text if len(text) <= 60 else text[:57] + "…"


def read_json(data: bytes) -> Any:
    """Read one JSON text (RFC 8259). Raises `NotText` for anything else, duplicate keys included."""
    try:
        orjson.loads(data)
        return json.loads(data, object_pairs_hook=_no_duplicates, parse_float=_finite)
    except NotText:
        raise
    except RecursionError:
        raise NotText("nested too deeply") from None
    except ValueError as error:
        line = getattr(error, "lineno", None)
        raise NotText(f"not JSON: {str(error).partition(': line')[0]}", line) from None


def _no_duplicates(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    found = dict(pairs)
    if len(found) != len(pairs):
        seen: set[str] = set()
        for key, _ in pairs:
            if key in seen:
                raise NotText(f"the key {shown(key)} stands twice in one object")
            seen.add(key)
    return found


def _finite(text: str) -> float:
    number = float(text)
    if not math.isfinite(number):
        raise NotText(f"the number {text[:20]} is out of range")
    return number


def read_yaml(text: str | bytes) -> Document:
    """Read one YAML document of maps, lists, text, numbers, `true`, `false` and `null`. Raises `NotText`."""
    found = list(itertools.islice(_documents(text), 2))
    if not found:
        raise NotText("the document is empty", 1)
    if len(found) > 1:
        raise NotText("a second document begins here; write one a file", found[1][0])
    return found[0][1]


def read_yaml_documents(text: str | bytes) -> list[Document]:
    """Read each document of a YAML text, at least one, with lines counted from the text's first. Raises `NotText`."""
    found = [document for _, document in _documents(text)]
    if not found:
        raise NotText("the document is empty", 1)
    return found


def _documents(text: str | bytes) -> Iterator[tuple[int, Document]]:
    """Read documents one by one, each with the line on which it begins."""
    try:
        events = iter(yaml.parse(text, Loader=yaml.CSafeLoader))
        next(events)
        while not isinstance(start := next(events), yaml.StreamEndEvent):
            marks = _Marks()
            value = _node(next(events), events, "", marks, 0)
            next(events)
            line: int = start.start_mark.line + 1  # type: ignore[union-attr]
            yield line, Document(value, marks.lines, marks.columns)
    except yaml.YAMLError as error:
        mark = getattr(error, "problem_mark", None)
        says = getattr(error, "problem", None) or str(error).splitlines()[0]
        raise NotText(f"not YAML: {says}", *((mark.line + 1, mark.column + 1) if mark else ())) from None
    except (UnicodeDecodeError, UnicodeEncodeError):
        raise NotText("not UTF-8 text") from None


class _Marks:
    """Where each part of a document begins, by its pointer."""

    def __init__(self) -> None:
        self.lines: dict[str, int] = {}
        self.columns: dict[str, int] = {}

    def set(self, pointer: str, event: Any) -> int:
        """Note where the part at `pointer` begins, if it is not known yet; give the event's line."""
        line: int = event.start_mark.line + 1
        if pointer not in self.lines:
            self.lines[pointer], self.columns[pointer] = line, event.start_mark.column + 1
        return line


def _node(event: Any, events: Iterator[Any], pointer: str, marks: _Marks, depth: int) -> Any:
    line = marks.set(pointer, event)
    if isinstance(event, yaml.AliasEvent) or event.anchor:
        raise NotText("anchors and aliases are not allowed; write the value out", line)
    if event.tag:
        raise NotText(f"the tag {event.tag!r} is not allowed", line)
    if depth > MAX_DEPTH:
        raise NotText("nested too deeply", line)
    if isinstance(event, yaml.ScalarEvent):
        return event.value if event.style else _scalar(event.value, line)
    if isinstance(event, yaml.SequenceStartEvent):
        items: list[Any] = []
        while not isinstance(event := next(events), yaml.SequenceEndEvent):
            items.append(_node(event, events, join(pointer, len(items)), marks, depth + 1))
        return items
    return _map(events, pointer, marks, depth)


def _map(events: Iterator[Any], pointer: str, marks: _Marks, depth: int) -> dict[str, Any]:
    found: dict[str, Any] = {}
    while not isinstance(event := next(events), yaml.MappingEndEvent):
        line = event.start_mark.line + 1
        if not isinstance(event, yaml.ScalarEvent) or event.anchor or event.tag:
            raise NotText("a key must be plain text", line)
        key = event.value
        if key == "<<" and not event.style:
            raise NotText("merge keys are not allowed; write the values out", line)
        if key in found:
            raise NotText(f"the key {shown(key)} stands twice in one map", line)
        at = join(pointer, key)
        marks.set(at, event)
        found[key] = _node(next(events), events, at, marks, depth + 1)
    return found


def _scalar(text: str, line: int) -> Any:
    if text in ("", "~", "null"):
        return None
    if text in ("true", "false"):
        return text == "true"
    if _INTEGER.match(text):
        return int(text)
    if _DECIMAL.match(text):
        number = float(text)
        if not math.isfinite(number):
            raise NotText(f"the number {text[:20]} is out of range", line)
        return number
    return text
