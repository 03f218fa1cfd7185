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

from splicewright.nearest_word import nearest
from splicewright.question.leaf import leaves_of
from splicewright.question.model import Circuit, Conductor, Joint, Place, Work
from splicewright.question.proposal import ProposalSchema
from splicewright.question.schema import QuestionSchema

Kind = Literal[
    "text", "texts", "tags", "size", "word", "words", "number", "flag", "quantity", "flag-or-quantity", "day"
]
_BESIDE = ("id", "code", "catalogue")
#: Headings that begin so are passed over: what this program wrote beside a row, and what is only for people.
PASSED = "#"
PASSED_OVER = ("answer", PASSED)
#: What people call columns, for a hint only: it is never taken for the column.
_CALLED = {
    "size": ("wire", "wire size", "awg", "gauge", "conductor size", "conductor"),
    "count": ("wires", "conductors", "number of conductors", "no of conductors"),
    "quantity": ("qty", "pcs", "pieces", "joints", "number of joints", "how many"),
    "id": ("joint", "joint id", "tag", "mark", "name", "item", "splice", "no"),
    "insulation": ("wire type", "insulation type"),
    "overcurrent amps": ("breaker", "fuse", "ocpd"),
    "box": ("box id", "junction box", "jb", "enclosure id"),
}


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
BOX = Column("box", "/box", "text", about="the box that the joint is in: a job reckons it with all its joints")
_LONGEST = 200  # characters of a heading that are looked at: none of ours has so many
_ANYWHERE = ("id", "quantity")
#: What a joint has as part of a job.
OF_THE_JOB = ("quantity", "box")
_WAIVERS = (
    Column("waive", "/waive/rule", "texts", about="rules that are waived for this joint"),
    Column("waive reason", "/waive/reason", "text", about="why they are waived"),
    Column("waive until", "/waive/until", "day", about="the last day on which they are, as 2026-12-31"),
)


@functools.cache
def columns() -> tuple[Column, ...]:
    """Give all columns in the order of the template."""
    beside: Mapping[str, Any] = QuestionSchema().fields
    return (
        *(_column(name, f"/{name}", beside[name]) for name in _BESIDE[:1]),
        QUANTITY,
        BOX,
        *_leaves(Conductor, "/joint/conductors/*"),
        *_leaves(Joint, "/joint"),
        *_leaves(Place, "/place"),
        *_leaves(Circuit, "/circuit"),
        *_leaves(Work, "/work"),
        *(_column(name, f"/proposal/{name}", field) for name, field in ProposalSchema().fields.items()),
        *(_column(name, f"/{name}", beside[name]) for name in _BESIDE[1:]),
        *_WAIVERS,
    )


def _leaves(part: type, pointer: str) -> Iterator[Column]:
    fields = {name: leaf.field for name, leaf in leaves_of(part).items()}
    return (_column(name, f"{pointer}/{name}", field) for name, field in fields.items() if field.kind != "list")


def _column(name: str, pointer: str, field: Any) -> Column:
    return Column(name.replace("_", " "), pointer, field.kind, tuple(field.words or field.units), field.about)


def normal(heading: str) -> str:
    """Give a heading as it is compared: small letters, single spaces."""
    return re.sub(r"[\s_.\-]+", " ", heading[:_LONGEST]).strip().casefold()


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


def nearest_column(heading: str) -> str | None:
    """Give the heading that was perhaps meant by an unknown one; None where none is near."""
    called = {word: column for column, words in _CALLED.items() for word in words}
    return called.get(normal(heading)) or nearest(normal(heading), by_heading())


def is_called(heading: str, *, telling: bool = False) -> bool:
    """Tell whether people call one of our columns so; `telling`: in few other tables than of joints."""
    return any(normal(heading) in words for column, words in _CALLED.items() if not (telling and column in _ANYWHERE))


def passed_over(heading: str) -> bool:
    """Tell whether a column is not read at all."""
    return normal(heading).startswith(PASSED_OVER)
