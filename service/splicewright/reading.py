"""Reads YAML text strictly, and says what is wrong with it and where; JSON text is read in `json_text.py`.

Strict means: duplicate keys, anchors, tags and a second document are refused; only `true` and `false` are
booleans; keys are text; numbers are finite. Nothing is evaluated.
"""

from __future__ import annotations

import itertools
import json
import math
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any, Self

import yaml
from yaml.events import AliasEvent, MappingEndEvent, ScalarEvent, SequenceEndEvent, SequenceStartEvent, StreamEndEvent

from splicewright.faults import Fault, Faults
from splicewright.nearest_word import Spoken, meant

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

MAX_DEPTH = 40
_MOST_LISTED = 30  # words, in a sentence
_MOST_ALLOWED = 100  # words, beside it
MOST_PROBLEMS = 100  # told of what is not valid; those beyond them are counted
USE_ONE_OF = "; use one of: "  # stands before the words that would be right
_INTEGER = re.compile(r"[-+]?(0|[1-9][0-9]{0,17})\Z")
_DECIMAL = re.compile(r"[-+]?(?:0|[1-9][0-9]{0,17})(\.[0-9]{1,18})?([eE][-+]?[0-9]{1,3})?\Z")


class Says(str):
    """A sentence that tells what is wrong, with its code and, of a word, the nearest allowed one and those allowed.

    The codes are those of `error_codes.py`; a plain sentence has the code `not-valid`.
    """

    __slots__ = ("allowed", "code", "nearest")
    code: str
    nearest: str | None
    allowed: tuple[str, ...]

    def __new__(cls, says: str, code: str, nearest: str | None = None, allowed: Iterable[str] = ()) -> Self:
        """Make a sentence with its code."""
        found = super().__new__(cls, says)
        found.code, found.nearest, found.allowed = code, nearest, tuple(allowed)
        return found

    def __reduce__(self) -> tuple[Any, ...]:
        return type(self), (str(self), self.code, self.nearest, self.allowed)

    def within(self, before: str, after: str = "", code: str | None = None) -> Says:
        """Give it as a part of a longer sentence."""
        return Says(f"{before}{self}{after}", code or self.code, self.nearest, self.allowed)


class Further(Says):
    """Tells that there are `number` problems beyond those that were told."""

    number = 1


@dataclass(frozen=True, slots=True)
class Problem:
    """One thing wrong: a JSON Pointer (RFC 6901) into what was given, and a sentence; `Says` has a code of its own."""

    pointer: str
    says: str

    @classmethod
    def from_dict(cls, found: Mapping[str, Any]) -> Problem:
        """Make it of what `to_dict` wrote."""
        says = Says(found["says"], found["code"], found.get("nearest"), found.get("allowed", ()))
        return cls(found["pointer"], says)

    def to_dict(self, within: str = "") -> dict[str, Any]:
        """Write it as JSON has it; `within` leads to what the pointer is into."""
        found: dict[str, Any] = {"pointer": within + self.pointer, "says": str(self.says), "code": "not-valid"}
        if isinstance(self.says, Says):
            found["code"] = self.says.code
            if self.says.nearest is not None:
                found["nearest"] = self.says.nearest
            if self.says.allowed:
                found["allowed"] = list(self.says.allowed)
        return found


class Refused(ValueError):
    """What was given is not valid. Carries the problems found, never only the first; beyond 100 their count."""

    def __init__(self, problems: Iterable[Problem]) -> None:
        found = tuple(problems)  # a small body may hold so many that to tell each would take a hundred times its bytes
        each = [one for one in found if not isinstance(one.says, Further)]
        if more := sum(one.says.number for one in found if isinstance(one.says, Further)) + len(each[MOST_PROBLEMS:]):
            further = Further(f"and {more:,} more; mend those that are told first", "not-valid")
            further.number = more
            found = (*each[:MOST_PROBLEMS], Problem("", further))
        self.problems = found
        super().__init__("; ".join(f"{p.pointer or '(whole)'}: {p.says}" for p in self.problems))


class NotText(Refused):
    """The text itself is not JSON or YAML. `line` and `column` count from 1 where they are known."""

    def __init__(self, says: str, line: int | None = None, column: int | None = None) -> None:
        super().__init__([Problem("", says if isinstance(says, Says) else Says(says, "not-json"))])
        self.line, self.column = line, column


def told(error: Refused) -> list[dict[str, Any]]:
    """Write every problem as JSON has it; of a text that can't be read also its line and column."""
    found = [problem.to_dict() for problem in error.problems]
    if isinstance(error, NotText) and error.line is not None:
        place = {"line": error.line} if error.column is None else {"line": error.line, "column": error.column}
        return [{**one, **place} for one in found]
    return found


def _at_start(_pointer: str) -> tuple[int, int]:
    return 1, 1


@dataclass(frozen=True, slots=True)
class Document:
    """A value read from text. `where` gives line and column (from 1) of the part at a pointer, or nearest around it."""

    value: Any
    where: Callable[[str], tuple[int, int]] = _at_start
    file: str = ""  # its name in faults

    def line(self, pointer: str) -> int:
        """Give the line of the part at `pointer`, or of the nearest part around it."""
        return self.where(pointer)[0]

    def column(self, pointer: str) -> int:
        """Give the column of the part at `pointer`, or of the nearest part around it."""
        return self.where(pointer)[1]

    def locate(self, problem: Problem) -> Fault:
        """Give a problem of this document as a fault: its line, the listed part that it is in, by id or name, the key.

        A problem at `/rules/3/when/0`, where the fourth rule is called `buried-is-wet`, becomes
        `environment.yaml:12: buried-is-wet: when/0: …`.
        """
        parts = pointer_parts(problem.pointer)
        listed = value_at(self.value, join("", *parts[:2])) if len(parts) > 1 and parts[1].isdecimal() else None
        name = ""
        if isinstance(listed, dict):
            name, parts = str(listed.get("id", listed.get("name", ""))), parts[2:]
        says = f"{'/'.join(parts)}: {problem.says}" if parts else problem.says
        return Fault(self.file, self.line(problem.pointer), name, says)

    def faults(self, problems: Iterable[Problem]) -> Faults:
        """Give the problems of this document as what is raised for them."""
        return Faults(map(self.locate, problems))


def join(pointer: str, *parts: str | int) -> str:
    """Extend a JSON Pointer, escaping as RFC 6901 says."""
    for part in parts:
        key = str(part)
        pointer += "/" + (key.replace("~", "~0").replace("/", "~1") if "~" in key or "/" in key else key)
    return pointer


def pointer_parts(pointer: str) -> list[str]:
    """Give the keys of a JSON Pointer, with nothing escaped."""
    return [part.replace("~1", "/").replace("~0", "~") for part in pointer.split("/")[1:]]


def value_at(value: Any, pointer: str) -> Any:
    """Give the part of a value at a JSON Pointer; None where there is none."""
    for key in pointer_parts(pointer):
        if isinstance(value, Mapping) and key in value:
            value = value[key]
        elif isinstance(value, list) and key.isdecimal() and int(key) < len(value):
            value = value[int(key)]
        else:
            return None
    return value


def pointer_words(pointer: str) -> str:
    """Write a pointer as people write the place: `circuit.amps`, `joint.conductors[2].size`; numbers count from 1."""
    found = ""
    for key in pointer_parts(pointer):
        found += f"[{int(key) + 1}]" if key.isdecimal() else f".{key}" if found else key
    return found


def not_allowed(word: str, words: Iterable[str], code: str = "unknown-word") -> Says:
    """Word the refusal of `word` where only `words` are allowed, with what was meant or all of a short list."""
    if not isinstance(words, Spoken):
        words = list(words)
    guess = meant(word, words)
    allowed = list(words)[:_MOST_ALLOWED]
    if guess and isinstance(words, Spoken) and guess in words.said:
        told = words.said[guess]
        says = f"{shown(word)} is not known; say {f'{told!r}: {words[told]}' if told in words else told}"
        return Says(says, code, told if told in words else None, allowed)
    if guess:
        return Says(f"{shown(word)} is not known; did you mean {guess!r}?", code, guess, allowed)
    if len(words) > _MOST_LISTED:
        return Says(f"{shown(word)} is not known", code, None, allowed)
    return Says(f"{shown(word)} is not known{USE_ONE_OF}{', '.join(words)}", code, None, allowed)


def shown(value: object) -> str:
    """Write a given value back shortly, as JSON would."""
    try:
        text = json.dumps(value, ensure_ascii=True, default=str)
    except (TypeError, ValueError, RecursionError):
        text = "this value"
    return text if len(text) <= 60 else text[:57] + "…"


def clean(text: str) -> str:
    """Keep a text on its line: what a terminal would act on, or nobody would see, is written as its number."""
    if text.isprintable():
        return text
    return "".join(character if character.isprintable() else f"\\x{ord(character):02x}" for character in text)


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
    return replace(document, file=file)


def read_yaml_documents(text: str | bytes) -> list[Document]:
    """Read each document of a YAML text, at least one, with lines counted from the text's first. Raises `NotText`."""
    found = [document for _, document in _documents(text)]
    if not found:
        raise NotText("the document is empty", 1)
    return found


def _documents(text: str | bytes) -> Iterator[tuple[int, Document]]:
    """Read documents one by one, each with the line on which it begins."""
    try:
        events: Iterator[Any] = iter(yaml.CSafeLoader(text).get_event, None)
        next(events)
        while not isinstance(start := next(events), StreamEndEvent):
            event = next(events)
            place = _place(event)
            value = _node(event, events, place, 0)
            next(events)
            yield _line(start), Document(value, place.where)
    except yaml.YAMLError as error:
        mark = getattr(error, "problem_mark", None)
        says = getattr(error, "problem", None) or str(error).splitlines()[0]
        raise NotText(f"not YAML: {says}", *((mark.line + 1, mark.column + 1) if mark else ())) from None
    except (UnicodeDecodeError, UnicodeEncodeError):
        raise NotText("not UTF-8 text") from None


class Place:
    """Where a part of a document begins, its key if it has one, and the places of its own parts."""

    __slots__ = ("column", "line", "parts")

    def __init__(self, line: int, column: int) -> None:
        self.line, self.column = line, column
        self.parts: dict[str | int, Place] | None = None

    def where(self, pointer: str) -> tuple[int, int]:
        """Give line and column of the part at `pointer`, or of the nearest part around it."""
        found = self
        for key in pointer_parts(pointer):
            if not found.parts:
                break
            inner = found.parts.get(key) or (found.parts.get(int(key)) if key.isdecimal() else None)
            if inner is None:
                break
            found = inner
        return found.line, found.column


def _node(event: Any, events: Iterator[Any], place: Place, depth: int) -> Any:
    if isinstance(event, AliasEvent) or event.anchor:
        raise NotText("anchors and aliases are not allowed; write the value out", _line(event))
    if event.tag:
        raise NotText(f"the tag {event.tag!r} is not allowed", _line(event))
    if depth > MAX_DEPTH:
        raise NotText("nested too deeply", _line(event))
    if isinstance(event, ScalarEvent):
        return event.value if event.style else _scalar(event)
    place.parts = {}
    if isinstance(event, SequenceStartEvent):
        items: list[Any] = []
        while not isinstance(event := next(events), SequenceEndEvent):
            place.parts[len(items)] = inner = _place(event)
            items.append(_node(event, events, inner, depth + 1))
        return items
    return _map(events, place.parts, depth)


def _map(events: Iterator[Any], parts: dict[str | int, Place], depth: int) -> dict[str, Any]:
    found: dict[str, Any] = {}
    while not isinstance(event := next(events), MappingEndEvent):
        if not isinstance(event, ScalarEvent) or event.anchor or event.tag:
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
    text: str = event.value
    if text in ("", "~", "null"):
        return None
    if text in ("true", "false"):
        return text == "true"
    if _INTEGER.match(text):
        return int(text)
    if _DECIMAL.match(text):
        number = float(text)
        if not math.isfinite(number):
            raise NotText(f"the number {text[:20]} is out of range", _line(event))
        return number
    return text
