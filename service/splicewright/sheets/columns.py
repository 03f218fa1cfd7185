"""The columns that a table of joints may have: made from the schemas, so that each word of a question is one.

A heading is the word itself: `size`, `box material`, `overcurrent amps`. Case, spaces, hyphens and underscores don't
matter. Where two parts share a word, and wherever one likes, the part stands before it: `place exposure`.
"""

from __future__ import annotations

import functools
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any, Literal

from marshmallow import Schema, fields

from splicewright.question.proposal import FlagOrLength, ProposalSchema, StripSchema
from splicewright.question.schema import (
    CircuitSchema,
    ConductorSchema,
    JointSchema,
    PlaceSchema,
    QuestionSchema,
    SizeField,
    WorkSchema,
)
from splicewright.strict_fields import Flag, Items, Number, Text, Word, Words

Kind = Literal["text", "texts", "size", "word", "words", "number", "flag", "quantity", "flag-or-quantity", "day"]
_UNITS_OF_NUMBERS = {"volts": "V", "amps": "A", "overcurrent_amps": "A"}
_BESIDE = ("id", "code", "amendments", "catalogue")
#: Headings that begin so are passed over: what this program wrote beside a row, and what is only for people.
PASSED_OVER = ("answer", "#")


@dataclass(frozen=True, slots=True)
class Column:
    """One column: its heading, the pointer of its value in a question, and how a cell of it is read."""

    name: str
    pointer: str  # `/joint/conductors/*/size`: once for each row of the joint
    kind: Kind
    words: tuple[str, ...] = ()  # allowed words, or the units of a quantity or number
    about: str = ""

    @property
    def of_conductor(self) -> bool:
        """Whether each row of a joint has a value of its own."""
        return "*" in self.pointer

    @property
    def keys(self) -> tuple[str, ...]:
        """The keys from the question down to its value."""
        return tuple(self.pointer[1:].split("/"))


QUANTITY = Column("quantity", "/quantity", "number", about="how many such joints there are, by default 1")
_WAIVERS = (
    Column("waive", "/waive/rule", "texts", about="rules that are waived for this joint"),
    Column("waive reason", "/waive/reason", "text", about="why they are waived"),
    Column("waive until", "/waive/until", "day", about="the last day on which they are, as 2026-12-31"),
)


@functools.cache
def columns() -> tuple[Column, ...]:
    """Give all columns in the order of the template."""
    beside = QuestionSchema().fields
    purpose = JointSchema().fields["purpose"]
    return (
        *(_column(name, f"/{name}", beside[name]) for name in _BESIDE[:1]),
        QUANTITY,
        *_part(ConductorSchema(), "/joint/conductors/*"),
        _column("purpose", "/joint/purpose", purpose),
        *_part(PlaceSchema(), "/place"),
        *_part(CircuitSchema(), "/circuit"),
        *_part(WorkSchema(), "/work"),
        *_part(ProposalSchema(), "/proposal"),
        *(_column(name, f"/{name}", beside[name]) for name in _BESIDE[1:]),
        *_WAIVERS,
    )


def _part(schema: Schema, pointer: str) -> Iterator[Column]:
    return (_column(name, f"{pointer}/{name}", one) for name, one in schema.fields.items())


def _column(name: str, pointer: str, one: fields.Field[Any]) -> Column:
    kind, words = _kind(name, one)
    return Column(name.replace("_", " "), pointer, kind, words, one.metadata.get("description", ""))


def _kind(name: str, one: fields.Field[Any]) -> tuple[Kind, tuple[str, ...]]:
    if isinstance(one, fields.Nested):
        return "quantity", _units(one.schema)
    if isinstance(one, FlagOrLength):
        return "flag-or-quantity", _units(StripSchema())
    if isinstance(one, Number):
        return "number", (_UNITS_OF_NUMBERS[name],) if name in _UNITS_OF_NUMBERS else ()
    if isinstance(one, Words):
        assert isinstance(one.inner, Word)
        return "words", tuple(one.inner.words)
    simple: dict[type[fields.Field[Any]], Kind] = {SizeField: "size", Flag: "flag", Text: "text", Items: "texts"}
    return ("word", tuple(one.words)) if isinstance(one, Word) else (simple[type(one)], ())


def _units(schema: Schema) -> tuple[str, ...]:
    unit = schema.fields["unit"]
    assert isinstance(unit, Word)
    return tuple(unit.words)


def normal(heading: str) -> str:
    """Give a heading as it is compared: small letters, single spaces."""
    return re.sub(r"[\s_.\-]+", " ", heading).strip().casefold()


@functools.cache
def by_heading() -> Mapping[str, Column]:
    """Give each column by its headings: the word, and the part and the word."""
    found: dict[str, Column] = {}
    for column in columns():
        part = "conductor" if column.of_conductor else column.keys[0]
        found[normal(f"{part} {column.keys[-1]}")] = column
    for column in columns():
        found.setdefault(normal(column.name), column)
    return found


def passed_over(heading: str) -> bool:
    """Tell whether a column is not read at all."""
    return normal(heading).startswith(PASSED_OVER)
