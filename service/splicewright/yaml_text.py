"""Reads YAML text strictly into a document, which knows the place of each part, so that what is wrong is told by line.

Strict means: duplicate keys, anchors, tags and a second document are refused; only `true` and `false` are
booleans; keys are text; numbers are finite. Nothing is evaluated.
"""

from __future__ import annotations

import functools
import itertools
import math
import re
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from splicewright.document import Document, Place
from splicewright.faults import Fault, Faults
from splicewright.json_pointer import join
from splicewright.refusals import NotText, shown

if TYPE_CHECKING:
    from collections.abc import Iterator

MAX_DEPTH = 40
_HINTS = {
    "cannot start any token": "indent with blanks, not with tabs, and put a text that begins so into quotes",
    "tab character": "indent with blanks, not with tabs",
    "did not find expected ',' or": "close what { or [ opened; put a text that has commas into quotes",
    "did not find expected key": "let all keys of one map begin at the same column",
    "mapping values are not allowed": "put a text that has a colon and a blank into quotes",
}
_COMMENT_BEHIND = re.compile(r"[^ \t\r\n][ \t]+#")
_COMMENT = re.compile(r"[ \t]+#")
_INTEGER = re.compile(r"[-+]?(0|[1-9][0-9]{0,17})\Z")
_DECIMAL = re.compile(r"[-+]?(?:0|[1-9][0-9]{0,17})(\.[0-9]{1,18})?([eE][-+]?[0-9]{1,3})?\Z")


def read_yaml(text: str | bytes) -> Document:
    """Read one YAML document of maps, lists, text, numbers, `true`, `false` and `null`. Raises `NotText`."""
    found = list(itertools.islice(_documents(text), 2))
    if not found:
        raise NotText("the document is empty", 1)
    if len(found) > 1:
        raise NotText("a second document begins here; write one a file", found[1][0])
    return found[0][1]


def read_data_file(text: bytes | str, file: str) -> Document:
    """Read a YAML document whose faults are told under the name `file`. Raises `Faults` where the text is no YAML."""
    try:
        document = read_yaml(text)
    except NotText as error:
        raise Faults([Fault(file, error.line or 1, "", error.problems[0].says)]) from None
    again, cut = functools.partial(line_again, text), functools.partial(cut_texts, text)
    return replace(document, file=file, again=again, cut=cut)


def line_again(text: bytes | str, pointer: str) -> int:
    """Give the line of the part at a pointer of a YAML text that was read before."""
    return _read_again(text).line(pointer)


@functools.lru_cache(maxsize=1)  # what is wrong is told file by file
def _read_again(text: bytes | str) -> Document:
    return read_yaml(text)


def cut_texts(text: bytes | str) -> Iterator[str]:
    """Give pointers to the values without quotes that a comment ends on their line, of a YAML text that can be read.

    Whoever writes `bin #3` without quotes means no comment, and has written `bin`.
    """
    if isinstance(text, bytes):
        text = text.decode("utf-8-sig", "replace")
    if not _COMMENT_BEHIND.search(text):
        return
    events: Iterator[Any] = iter(_library().CSafeLoader(text).get_event, None)
    next(events)
    next(events)
    yield from _cut(next(events), events, text.splitlines(), "")


def _cut(event: Any, events: Iterator[Any], lines: list[str], pointer: str) -> Iterator[str]:
    yaml = _library()
    if isinstance(event, yaml.ScalarEvent):
        end = event.end_mark
        if not event.style and end.line < len(lines) and _COMMENT.match(lines[end.line], end.column):
            yield pointer
    elif isinstance(event, yaml.SequenceStartEvent):
        for at in itertools.count():
            if isinstance(event := next(events), yaml.SequenceEndEvent):
                return
            yield from _cut(event, events, lines, join(pointer, at))
    else:
        while not isinstance(event := next(events), yaml.MappingEndEvent):
            yield from _cut(next(events), events, lines, join(pointer, event.value))


def read_yaml_documents(text: str | bytes) -> list[Document]:
    """Read each document of a YAML text, at least one, with lines counted from the text's first. Raises `NotText`."""
    found = [document for _, document in _documents(text)]
    if not found:
        raise NotText("the document is empty", 1)
    return found


@functools.cache
def _library() -> Any:
    import yaml  # noqa: PLC0415 - 3 % of the time of one answer, where all was read when the package was built

    return yaml


def _documents(text: str | bytes) -> Iterator[tuple[int, Document]]:
    """Read documents one by one, each with the line on which it begins."""
    yaml = _library()
    try:
        events: Iterator[Any] = iter(yaml.CSafeLoader(text).get_event, None)
        next(events)
        while not isinstance(start := next(events), yaml.StreamEndEvent):
            event = next(events)
            place = _place(event)
            value = _node(event, events, place, 0)
            next(events)
            yield _line(start), Document(value, place.where)
    except yaml.YAMLError as error:
        mark = getattr(error, "problem_mark", None)
        says = getattr(error, "problem", None) or str(error).splitlines()[0]
        raise NotText(
            f"not YAML: {says}{_hint(says, text, mark)}", *((mark.line + 1, mark.column + 1) if mark else ())
        ) from None
    except (UnicodeDecodeError, UnicodeEncodeError):
        raise NotText("not UTF-8 text") from None


def _hint(says: str, text: str | bytes, mark: Any) -> str:
    """Tell what to write, of faults that people make often."""
    if mark is not None and "did not find expected" in says:
        whole = text.decode("utf-8-sig", "replace") if isinstance(text, bytes) else text.removeprefix("\ufeff")
        line = "".join(whole.splitlines()[mark.line : mark.line + 1])
        if line[: mark.column].rstrip().endswith(('"', "'")) and line[mark.column :].strip():
            return "; a text that begins with a quotation mark ends at the next: put the whole text into quotes, '…'"
    return next((f"; {write}" for sign, write in _HINTS.items() if sign in says), "")


def _node(event: Any, events: Iterator[Any], place: Place, depth: int) -> Any:
    yaml = _library()
    if isinstance(event, yaml.AliasEvent) or event.anchor:
        raise NotText("anchors and aliases are not allowed; write the value out", _line(event))
    if event.tag:
        raise NotText(f"the tag {event.tag!r} is not allowed", _line(event))
    if depth > MAX_DEPTH:
        raise NotText("nested too deeply", _line(event))
    if isinstance(event, yaml.ScalarEvent):
        return event.value if event.style else _scalar(event)
    place.parts = {}
    if isinstance(event, yaml.SequenceStartEvent):
        items: list[Any] = []
        while not isinstance(event := next(events), yaml.SequenceEndEvent):
            place.parts[len(items)] = inner = _place(event)
            items.append(_node(event, events, inner, depth + 1))
        return items
    return _map(events, place.parts, depth)


def _map(events: Iterator[Any], parts: dict[str | int, Place], depth: int) -> dict[str, Any]:
    yaml, found = _library(), dict[str, Any]()
    while not isinstance(event := next(events), yaml.MappingEndEvent):
        if not isinstance(event, yaml.ScalarEvent) or event.anchor or event.tag:
            raise NotText("a key must be plain text", _line(event))
        key = event.value
        if key == "<<" and not event.style:
            raise NotText("merge keys are not allowed; write the values out", _line(event))
        if key in found:
            raise NotText(f"the key {shown(key)} stands twice in one map", _line(event))
        parts[key] = inner = _place(event)
        found[key] = _node(next(events), events, inner, depth + 1)
    return found


def _place(event: Any) -> Place:
    return Place(event.start_mark.line + 1, event.start_mark.column + 1)


def _line(event: Any) -> int:
    line: int = event.start_mark.line + 1
    return line


def _scalar(event: Any) -> Any:
    found = plain_scalar(event.value)
    if isinstance(found, float) and not math.isfinite(found):
        raise NotText(f"the number {event.value[:20]} is out of range", _line(event))
    return found


def plain_scalar(text: str) -> Any:
    """Give what text without quotes is read as: null, true, false, a number (infinite beyond their range), or text."""
    if text in ("", "~", "null"):
        return None
    if text in ("true", "false"):
        return text == "true"
    if _INTEGER.match(text):
        return int(text)
    return float(text) if _DECIMAL.match(text) else text
