"""Every word and every range that a request may use, with where it goes and what it means: for building forms.

Found by walking the schemas that read requests, so that nothing offered is refused and nothing taken is left out.
"""

from __future__ import annotations

import functools
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any

from marshmallow import Schema, fields

from splicewright.question import vocabulary as v
from splicewright.question.read import DEFAULTS
from splicewright.question.schema import QuestionSchema
from splicewright.rulebook.attributes import ATTRIBUTES
from splicewright.strict import Items, Number, Word, Words
from splicewright.tables.insulation import Insulation

_TOO_SHORT = ("unit", "name", "path", "kind")  # say nothing without what they belong to
_CALLS: tuple[tuple[str, str, str], ...] = (
    ("/v1/checks", "splicewright.inspection.schema", "CheckSchema"),
    ("/v1/boxes", "splicewright.box.schema", "BoxFillSchema"),
    ("/v1/jobs", "splicewright.job.schema", "JobSchema"),
)


@dataclass(frozen=True, slots=True)
class Place:
    """Where words or a number go: a call, and a JSON Pointer into its body, in which `*` is any place of a list."""

    call: str
    pointer: str


@dataclass(frozen=True, slots=True)
class WordList:
    """Words with their meanings, and where they go. An answer's words go nowhere."""

    name: str
    about: str
    words: Mapping[str, str]
    at: tuple[Place, ...] = ()
    several: bool = False  # whether several of them may be given
    assumed: Any = None  # where left out, if that depends on nothing else

    def plain(self) -> dict[str, Any]:
        """Write it as JSON has it."""
        found: dict[str, Any] = {"name": self.name, "about": self.about}
        found["at"] = [{"call": one.call, "pointer": one.pointer} for one in self.at]
        found["several"] = self.several
        if self.assumed is not None:
            found["assumed"] = self.assumed
        return {**found, "words": [{"word": word, "means": means} for word, means in self.words.items()]}


@dataclass(frozen=True, slots=True)
class Range:
    """A number: its ends, both included, and how many decimals it is read to."""

    about: str
    at: Place
    least: float
    most: float
    decimals: int
    assumed: Any = None

    def plain(self) -> dict[str, Any]:
        """Write it as JSON has it."""
        found: dict[str, Any] = {"at": {"call": self.at.call, "pointer": self.at.pointer}, "about": self.about}
        found |= {"least": self.least, "most": self.most, "decimals": self.decimals}
        return found if self.assumed is None else {**found, "assumed": self.assumed}


@dataclass(slots=True)
class _Found:
    lists: dict[str, WordList] = field(default_factory=dict)
    ranges: list[Range] = field(default_factory=list)


@functools.cache
def word_lists() -> tuple[WordList, ...]:
    """Give every list of words: those of requests in the order of the contract, then those of answers."""
    asked = _walked().lists
    return (*asked.values(), *(one for one in _of_answers() if one.name not in asked))


def word_list(name: str) -> WordList:
    """Give a list of words by its name. Raises KeyError."""
    return {one.name: one for one in word_lists()}[name]


def vocabulary_plain(name: str | None = None) -> dict[str, Any]:
    """Write every list and range as JSON has it, or the one list of that name. Raises KeyError."""
    if name is not None:
        return {"lists": [word_list(name).plain()], "numbers": []}
    return {"lists": [one.plain() for one in word_lists()], "numbers": [one.plain() for one in ranges()]}


@functools.cache
def ranges() -> tuple[Range, ...]:
    """Give every number that a request may have."""
    return tuple(_walked().ranges)


@functools.cache
def _walked() -> _Found:
    import importlib  # noqa: PLC0415

    found = _Found()
    _walk(QuestionSchema(), Place("/v1/choices", ""), found, frozenset())
    for call, module, name in _CALLS:
        _walk(getattr(importlib.import_module(module), name)(), Place(call, ""), found, _parts(QuestionSchema))
    return found


def _parts(schema: type[Schema]) -> frozenset[type]:
    """Give the schemas that a schema is made of: what a question has is told once, at POST /v1/choices."""
    found = {schema}
    for one in schema().fields.values():
        inner = one.inner if isinstance(one, fields.List) else one
        if isinstance(inner, fields.Nested):
            found |= _parts(type(inner.schema))
    return frozenset(found)


def _walk(schema: Schema, at: Place, found: _Found, told: frozenset[type]) -> None:
    for name, one in schema.fields.items():
        place = Place(at.call, f"{at.pointer}/{one.data_key or name}")
        inner: fields.Field[Any] = one
        if isinstance(one, Items) and not isinstance(one, Words):
            place, inner = Place(at.call, f"{place.pointer}/*"), one.inner
        about = str(one.metadata.get("description", ""))
        assumed = _assumed(place)
        if isinstance(inner, Number):
            found.ranges.append(Range(about, place, inner.least, inner.most, inner.decimals, assumed))
        elif isinstance(inner, Word | Words):
            _add(found, place, about, inner, assumed)
        elif isinstance(inner, fields.Nested) and type(inner.schema) not in told:
            _walk(inner.schema, place, found, told)


def _add(found: _Found, at: Place, about: str, of: Word | Words, assumed: Any) -> None:
    listed = of if isinstance(of, Word) else of.inner
    assert isinstance(listed, Word)
    words = _meanings(listed)
    for known in found.lists.values():
        if known.words == words:
            found.lists[known.name] = WordList(
                known.name, known.about, words, (*known.at, at), known.several, known.assumed
            )
            return
    steps = [step for step in at.pointer.split("/") if step and step != "*"]
    name = next(
        joined
        for count in range(2 if steps[-1] in _TOO_SHORT and len(steps) > 1 else 1, len(steps) + 1)
        if (joined := "-".join(steps[-count:]).replace("_", "-")) not in found.lists
    )
    found.lists[name] = WordList(name, about, words, (at,), isinstance(of, Words), assumed)


def _meanings(listed: Word) -> dict[str, str]:
    words = listed.words
    if not isinstance(words, Mapping):
        return {word: word for word in words}
    return {word: means if isinstance(means, str) else _told(word, means) for word, means in words.items()}


def _told(word: str, means: object) -> str:
    if not isinstance(means, Insulation):
        return word
    if means.degrees is None:
        return "no insulation"
    parts = [f"{means.degrees} degC where dry"]
    parts.append(f"{means.degrees_wet} degC where wet" if means.wet else "not for wet places")
    if means.burial:
        parts.append("may be buried")
    if means.volts:
        parts.append(f"{means.volts} V")
    return ", ".join(parts)


def _assumed(at: Place) -> Any:
    if at.call != "/v1/choices":
        return None
    group, _, leaf = at.pointer.rpartition("/")
    return DEFAULTS.get("conductor" if group.startswith("/joint/conductors") else group, {}).get(leaf)


def _of_answers() -> Iterator[WordList]:
    yield WordList("outcome", "What comes of a question.", v.OUTCOME)
    yield WordList("verdict", "What comes of a check.", v.VERDICT)
    yield WordList("basis", "How a joint stands in a connector's listing.", v.BASIS)
    yield WordList("method", "How connectors join.", v.METHODS)
    yield WordList("phase", "Where in the work a step comes, in this order.", v.PHASES)
    yield WordList("effect", "What a rule does.", v.EFFECT)
    yield WordList("obtained", "How a rule's source is known.", v.OBTAINED)
    yield WordList(
        "attribute",
        "What a listing says of a connector, and what demands ask about.",
        {name: kind.about for name, kind in ATTRIBUTES.items()},
    )
