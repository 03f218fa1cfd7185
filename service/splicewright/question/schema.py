"""What a question may hold: the one declaration that reads and refuses. Nothing is converted or ignored."""

from __future__ import annotations

from marshmallow import fields

from splicewright.codes import codes
from splicewright.question import vocabulary as v
from splicewright.question.fields import about, amendments
from splicewright.question.leaf import schema_of
from splicewright.question.model import Circuit, Joint, Place, Work
from splicewright.strict_fields import Number, Text, Word
from splicewright.strict_schema import Remembered, Strict, laid_over

JointSchema, PlaceSchema = schema_of(Joint), schema_of(Place)
CircuitSchema, WorkSchema = schema_of(Circuit), schema_of(Work)


#: Parts that are laid over those of a box or job, leaf by leaf: what they leave out is as that says.
LaidPlaceSchema = laid_over(PlaceSchema, "Where joints are; what it leaves out is as what it is laid over says.")
LaidCircuitSchema = laid_over(
    CircuitSchema, "What joints are part of; what it leaves out is as what it is laid over says."
)
LaidWorkSchema = laid_over(WorkSchema, "What kind of work it is; what it leaves out is as what it is laid over says.")


class QuestionSchema(Strict):
    """One joint to be decided."""

    id = Text(100, metadata=about("A name of your own for the question; echoed in its answer.", label="Name"))
    code = Word(v.CODES, metadata=about("The code edition whose rules are asked.", default=codes().default))
    amendments = amendments()
    catalogue = Text(100, metadata=about("Name of a catalogue that the server knows.", default="shop"))
    explain = Word(
        v.EXPLAIN, metadata=about("How much the answer tells. Where left out, the call's own `?explain=` decides.")
    )
    limit = Number(
        1,
        100,
        decimals=0,
        metadata=about("How many options to print, 1 to 100; sound ones beyond it are counted in `more`.", default=5),
    )
    joint = fields.Nested(JointSchema, required=True, metadata=about("What is to be joined."))
    place = Remembered(PlaceSchema, metadata=about("Where the joint is."))
    circuit = Remembered(CircuitSchema, metadata=about("What the joint is part of."))
    work = Remembered(WorkSchema, metadata=about("What kind of work it is."))
