"""What is sent instead of a question's words, sizes and quantities: taken where it has one meaning, and told.

Only what the schema refuses comes here, so a word that a question may use is never taken for another. What is merely
like a word is not taken (`not_allowed` tells the nearest), and what has two meanings is refused by its own sentence.
"""

from __future__ import annotations

import functools
import re
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from marshmallow import Schema, fields

from splicewright.json_pointer import join
from splicewright.nearest_word import Spoken
from splicewright.question.amounts import number_with_unit, several_told, unit_told
from splicewright.refusals import Problem, Says, shown
from splicewright.strict_fields import InputField, Items, Number
from splicewright.strict_schema import Later, QuantityField
from splicewright.units import size_meant

_FLAGS = {"yes": True, "no": False}
AMOUNTS = ("number", "quantity")  # the kinds of fields that are some
_LONGEST = 60  # characters of what may be a word or a quantity
_MOST_PLACES = 3  # that are named as those where a word may stand


@dataclass(frozen=True, slots=True)
class ReadAs:
    """What was sent at a place (a JSON Pointer into the question), and what it was taken for."""

    pointer: str
    sent: Any
    taken: Any

    def to_dict(self, within: str = "") -> dict[str, Any]:
        """Write it as JSON has it; `within` leads to the question."""
        return {"pointer": within + self.pointer, "sent": self.sent, "taken": self.taken}


def read_as_plain(taken: Iterable[ReadAs], within: str = "") -> dict[str, Any]:
    """Write what was taken for another way to write what is meant: under `read_as`, where there is any."""
    written = [one.to_dict(within) for one in taken]
    return {"read_as": written} if written else {}


def take(schema: Schema, given: Any, code: str) -> tuple[Any, tuple[ReadAs, ...]]:
    """Give a question with what has one meaning in the place of what was sent, and what was so taken.

    `code` is the code edition asked: some words hold for some of them only. What was sent is not changed.
    """
    found: list[ReadAs] = []
    return _map(schema, given, "", code, found), tuple(found)


def elsewhere(schema: Schema, problem: Problem, given: Any) -> Problem:
    """Add to the refusal of a word where a question may use it, and to that of an amount what is wrong with it."""
    parts = problem.pointer.split("/")[1:]
    sent = given
    for part in parts:
        sent = sent[int(part)] if isinstance(sent, list) else sent.get(part) if isinstance(sent, Mapping) else None
    if not isinstance(sent, str) or len(sent) > _LONGEST:
        return problem
    numbers = [part for part in parts if part.isdecimal()]
    field = _fields(schema).get("/" + "/".join("{}" if part.isdecimal() else part for part in parts))
    if isinstance(field, InputField) and field.kind in AMOUNTS:
        told = several_told(sent) or unit_told(sent, field.units)
        return _with(problem, told.replace(shown(sent), "it", 1))
    places = [place.format(*numbers, *["0"] * place.count("{}")) for place in _places(schema).get(written(sent), ())]
    others = [place for place in places if place != problem.pointer]
    if not others or problem.pointer in places or len(others) > _MOST_PLACES:
        return problem
    return _with(problem, f"{shown(sent)} is a word of {' and '.join(others)}")


def _with(problem: Problem, more: str) -> Problem:
    if not more:
        return problem
    says = problem.says
    return Problem(problem.pointer, says.within("", f"; {more}") if isinstance(says, Says) else f"{says}; {more}")


@functools.cache
def _fields(schema: Schema) -> Mapping[str, fields.Field[Any]]:
    return dict(fields_in(schema))


@functools.cache
def _places(schema: Schema) -> Mapping[str, Sequence[str]]:
    """Give where each word may stand; each `{}` is a number in a list."""
    found: dict[str, list[str]] = {}
    for pointer, field in fields_in(schema):
        words = field.words if isinstance(field, InputField) else ()
        for word in words:
            found.setdefault(written(word), []).append(pointer)
    return found


def fields_in(schema: Schema, pointer: str = "") -> Iterator[tuple[str, fields.Field[Any]]]:
    """Give each field of a schema and of those within it, with its pointer; each `{}` there is a number in a list."""
    for key, field in schema.fields.items():
        inner = field.inner if isinstance(field, Items) else field
        yield f"{pointer}/{key}", field
        if isinstance(inner, fields.Nested):
            yield from fields_in(inner.schema, f"{pointer}/{key}/{{}}" if inner is not field else f"{pointer}/{key}")


def _map(schema: Schema, given: Any, pointer: str, code: str, found: list[ReadAs]) -> Any:
    if not isinstance(given, Mapping):
        return given
    return {
        key: _value(schema.fields[key], value, join(pointer, str(key)), code, found) if key in schema.fields else value
        for key, value in given.items()
    }


def _value(field: fields.Field[Any], value: Any, pointer: str, code: str, found: list[ReadAs]) -> Any:
    if isinstance(field, Later) or (isinstance(field, Items) and isinstance(value, list) and len(value) > field.most):
        return value  # read later, or refused for its length, whatever stands in it
    if isinstance(field, fields.Nested) and isinstance(value, Mapping):
        return _map(field.schema, value, pointer, code, found)
    inner = getattr(field, "inner", None)
    if isinstance(inner, fields.Field) and isinstance(value, list):
        return [_value(inner, item, join(pointer, at), code, found) for at, item in enumerate(value)]
    if isinstance(inner, fields.Nested) and isinstance(value, Mapping):  # a map of names, such as prices
        return {name: _value(inner, item, join(pointer, str(name)), code, found) for name, item in value.items()}
    if isinstance(field, Number) and isinstance(value, float):
        taken: Any = field.rounded(value)
    else:
        taken = _taken(field, value, code) if isinstance(value, str) and len(value) <= _LONGEST else None
    if taken is None or taken == value or (getattr(field, "single", False) and taken == [value]):
        return value
    found.append(ReadAs(pointer, value, taken))
    return taken


def _taken(field: fields.Field[Any], sent: str, code: str) -> Any:
    """Give the one meaning of a text at a field, or None."""
    meaning = _MEANINGS.get(field.kind) if isinstance(field, InputField) else None
    return meaning and meaning(field, sent, code)


def _words(field: Any, sent: str, code: str) -> list[str] | None:
    """Read what is one word of a list, or several with strokes between: `THHN/THWN-2`."""
    each = [_word(field.words, part.strip(), code) for part in sent.split("/")]
    words = [word for word in each if word is not None]
    return words if len(words) == len(each) else None


def _word(words: Any, sent: str, code: str) -> str | None:
    """Give the allowed word that a text is: in other letters, or as people say it, where that has one meaning."""
    said = written(sent)
    alike = [word for word in words if written(word) == said]
    if len(alike) == 1:
        return str(alike[0])
    if alike or not isinstance(words, Spoken):
        return None
    meaning = words.said.get(said)
    return meaning if meaning in words and words.holds_for(said, code) else None


def written(text: str) -> str:
    """Give a text as synonyms are written: in small letters, with hyphens for blanks and underscores."""
    return re.sub(r"[\s_-]+", "-", text.strip().lower())


def _quantity(field: Any, sent: str, _: str) -> dict[str, Any] | None:
    """Read a number with its unit that is written as text; feet become inches where only those are known."""
    number, unit = number_with_unit(sent)
    if unit == "ft" and unit not in field.units:
        number, unit = 12 * number, "in"
    value = field.schema.fields["value"] if isinstance(field, QuantityField) else None
    return {"value": _safe(value, number), "unit": unit} if unit in field.units else None


def _safe(field: fields.Field[Any] | None, number: float) -> float:
    """Give a number as a field reads it: rounded to the safe side where it is finer, and has one."""
    rounded = field.rounded(number) if isinstance(field, Number) else None
    return number if rounded is None else rounded


def _plain_number(field: Any, sent: str, _: str) -> float | None:
    number, unit = number_with_unit(sent)
    return _safe(field, number) if unit in field.units else None


#: By the kind of a field.
_MEANINGS: Mapping[str, Callable[[Any, str, str], Any]] = {
    "size": lambda _field, sent, _code: size_meant(sent),
    "word": lambda field, sent, code: _word(field.words, sent, code),
    "words": _words,
    "flag": lambda _field, sent, _code: _FLAGS.get(written(sent)),
    "number": _plain_number,
    "quantity": _quantity,
}
