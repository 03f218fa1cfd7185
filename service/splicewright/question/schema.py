"""What a question may hold: the one declaration that reads and refuses. Nothing is converted or ignored."""

from __future__ import annotations

from marshmallow import fields

from splicewright.codes import codes
from splicewright.question import vocabulary as v
from splicewright.question.answer_vocabulary import EXPLAIN, INCLUDE
from splicewright.question.leaf import schema_of
from splicewright.question.model import Circuit, Joint, Place, Work
from splicewright.strict_fields import Items, Number, Text, Word, Words, about
from splicewright.strict_schema import Remembered, Strict, laid_over

JointSchema, PlaceSchema = schema_of(Joint), schema_of(Place)
CircuitSchema, WorkSchema = schema_of(Circuit), schema_of(Work)
#: Parts that are laid over those of a box or job, leaf by leaf: what they leave out is as that says.
LaidPlaceSchema = laid_over(PlaceSchema, "Where joints are; what it leaves out is as what it is laid over says.")
LaidCircuitSchema = laid_over(
    CircuitSchema, "What joints are part of; what it leaves out is as what it is laid over says."
)
LaidWorkSchema = laid_over(WorkSchema, "What kind of work it is; what it leaves out is as what it is laid over says.")


MOST_AMENDMENTS = 20  # laid over a code at once


def amendments() -> Items:
    """Make the field for amendments of a code."""
    return Items(
        Text(100),
        0,
        MOST_AMENDMENTS,
        metadata=about(
            "Names of amendments that are laid over the code, from left to right; `GET /v1/amendments` lists them."
        ),
    )


#: Of what a project may say: told where it is described.
BY_PROJECT = "Where it is left out or null, and a project file of whoever runs the server says it, that holds."


class CatalogueName(Text):
    """The name of a catalogue. A whole one in its place is taken out before a request is read by its schema."""


class OnlySchema(Strict):
    """What an answer keeps to. A key that is left out, or has an empty list, narrows nothing; both hold."""

    connectors = Items(Text(100), 0, 1000, metadata=about("Ids of connectors of the catalogue."))
    methods = Words(v.METHODS, metadata=about("Methods."))


class QuestionSchema(Strict):
    """One joint to be decided."""

    id = Text(100, metadata=about("A name of your own for the question; echoed in its answer.", label="Name"))
    code = Word(
        v.CODES, metadata=about(f"The code edition whose rules are asked. {BY_PROJECT}", default=codes().default)
    )
    amendments = amendments()
    catalogue = CatalogueName(
        100,
        metadata=about(
            f"Name of a catalogue that the server knows, or a whole one as files have it. {BY_PROJECT}", default="shop"
        ),
    )
    explain = Word(
        EXPLAIN, metadata=about("How much the answer tells. Where left out, the call's own `?explain=` decides.")
    )
    limit = Number(
        1,
        100,
        decimals=0,
        metadata=about("How many options to print, 1 to 100; `counts` tells how many there are.", default=3),
    )
    include = Words(
        INCLUDE,
        metadata=about(
            "What the answer has beside what `explain` gives; where `explain` is left out, beside the least."
        ),
    )
    # marshmallow takes fields off the class, so that it may be named like one of its own attributes
    only = Remembered(OnlySchema, metadata=about("The connectors and methods that it keeps to."))  # type: ignore[assignment]
    joint = fields.Nested(JointSchema, required=True, metadata=about("What is to be joined."))
    place = Remembered(PlaceSchema, metadata=about("Where the joint is."))
    circuit = Remembered(CircuitSchema, metadata=about("What the joint is part of."))
    work = Remembered(WorkSchema, metadata=about("What kind of work it is."))
