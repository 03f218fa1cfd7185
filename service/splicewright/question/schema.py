"""What a question may hold: the one declaration that reads and refuses. Nothing is converted or ignored."""

from __future__ import annotations

from typing import Any

from marshmallow import ValidationError, fields, validates_schema

from splicewright.question import vocabulary as v
from splicewright.reading import shown
from splicewright.strict_fields import Flag, Items, Number, Remembered, Strict, Text, Word, Words
from splicewright.tables.insulation import insulation_types
from splicewright.units import Size, size, whole

MOST_CONDUCTORS = 24
_DEGREES = "-60 to 200 degC (-76 to 392 degF)"
_COLDEST, _HOTTEST = whole(-60, "degC"), whole(200, "degC")


def about(says: str) -> dict[str, str]:
    """Give the metadata of a field that is described so, as the API's document prints it."""
    return {"description": says}


class SizeField(fields.Field[Size]):
    """A conductor size, always with its unit."""

    default_error_messages = {"required": "is required", "null": "may not be null"}  # noqa: RUF012

    def _deserialize(self, value: Any, *_: Any, **__: Any) -> Size:
        if isinstance(value, int | float) and not isinstance(value, bool):
            value = shown(value)
        if not isinstance(value, str):
            raise ValidationError(f"{shown(value)} is not a size; write it like '12 AWG' or '2.5 mm2'")
        try:
            return size(value)
        except ValueError as error:
            raise ValidationError(str(error)) from None


class LengthSchema(Strict):
    """A length with its unit."""

    value = Number(0, 30_000, required=True, metadata=about("The number, in the unit named."))
    unit = Word(v.LENGTH_UNITS, required=True, metadata=about("The unit of the number."))


class TemperatureSchema(Strict):
    """A temperature with its unit."""

    value = Number(
        -76, 392, allowed=_DEGREES, required=True, metadata=about(f"The number, in the unit named: {_DEGREES}.")
    )
    unit = Word(v.TEMPERATURE_UNITS, required=True, metadata=about("The unit of the number."))

    @validates_schema
    def _within(self, data: Any, **_: Any) -> None:
        if not _COLDEST <= whole(data["value"], data["unit"]) <= _HOTTEST:
            says = f"{shown(data['value'])} {data['unit']} is out of range; {_DEGREES} is allowed"
            raise ValidationError(says, "value")


class ConductorSchema(Strict):
    """Like wire ends that enter the joint."""

    size = SizeField(
        required=True,
        metadata=about("Nominal size, always with its unit: `12 AWG`, `4/0 AWG`, `250 kcmil`, `2.5 mm2`."),
    )
    count = Number(1, MOST_CONDUCTORS, decimals=0, metadata=about("How many wire ends of this kind enter the joint."))
    material = Word(
        v.MATERIAL,
        metadata=about("Metal of the conductor. Must be given where `work.wiring_age` is `aluminum-branch`."),
    )
    construction = Word(
        v.CONSTRUCTION,
        metadata=about(
            "How the conductor is built up. Assumed where left out: `fine-stranded` for cord; else `solid` to 10 AWG "
            "or 6 mm2, `stranded` above."
        ),
    )
    finish = Word(v.FINISH, metadata=about("Finish of the metal."))
    end = Word(v.END, metadata=about("How the end is prepared."))
    condition = Word(v.CONDITION, metadata=about("State of the metal and the insulation where the joint is made."))
    circuit = Text(
        40, metadata=about("A label of your own. Conductors with different labels belong to different circuits.")
    )
    cable = Word(v.CABLE, metadata=about("The cable that the conductor comes from."))
    insulation = Words(
        insulation_types(),
        single=True,
        least=1,
        most=4,
        metadata=about(
            "Type letters printed on the insulation; a list where dual-marked; `bare` (alone) where there is none. "
            "Where left out, nothing is assumed, and `judged` tells what was not judged."
        ),
    )
    role = Word(
        v.ROLE,
        metadata=about(
            "What the conductor does in its circuit. Assumed where left out: `equipment-grounding` where bare, else "
            "`ungrounded`."
        ),
    )
    path = Word(v.PATH, metadata=about("Whether the conductor ends in the joint or passes through it."))


class JointSchema(Strict):
    """The conductors to be connected together at one point."""

    purpose = Word(
        v.PURPOSE,
        metadata=about("What the joint is for. Assumed where left out: `cap` for a single conductor, else `splice`."),
    )
    conductors = Items(
        Remembered(ConductorSchema),
        1,
        MOST_CONDUCTORS,
        required=True,
        metadata=about("The conductors to be connected together at one point; at most 24 in all, counts included."),
    )


class PlaceSchema(Strict):
    """Where the joint is."""

    premises = Word(v.PREMISES, metadata=about("Premises that have an article of their own."))
    exposure = Word(v.EXPOSURE, metadata=about("How much water reaches the joint."))
    site = Word(v.SITE, metadata=about("Indoors or outdoors."))
    enclosure = Word(
        v.ENCLOSURE,
        metadata=about(
            "What the joint stands in. Assumed where left out: `none` where buried or submerged, else `box`."
        ),
    )
    box_material = Word(v.BOX_MATERIAL, metadata=about("What the enclosure is made of."))
    reach = Word(v.REACH, metadata=about("Whether the joint can be reached afterwards."))
    movement = Word(v.MOVEMENT, metadata=about("How the place moves."))
    corrosion = Words(v.CORROSION, metadata=about("What attacks metal or insulation there."))
    ambient = fields.Nested(
        TemperatureSchema, metadata=about("Temperature of the air around the joint. Assumed where left out: 30 degC.")
    )
    hazardous = Flag(metadata=about("Whether the place is a hazardous (classified) location."))
    depth = fields.Nested(
        LengthSchema,
        metadata=about(
            "Cover over the wiring: from its top to the finished surface. Where left out, nothing is assumed."
        ),
    )
    cover = Word(v.COVER, metadata=about("What lies over wiring in the ground: a row of the cover table."))
    wiring = Word(v.WIRING, metadata=about("How wiring runs in the ground: a column of the cover table."))
    dwelling = Flag(metadata=about("Whether the circuit serves a dwelling."))


class CircuitSchema(Strict):
    """What the joint is part of."""

    kind = Word(v.KIND, metadata=about("Kind of circuit."))
    serves = Word(v.SERVES, metadata=about("What the circuit feeds."))
    volts = Number(
        0.1, 100_000, metadata=about("Nominal volts. Assumed where left out: 120; nothing for low-voltage kinds.")
    )
    current = Word(v.CURRENT, metadata=about("Alternating or direct current."))
    amps = Number(0.1, 10_000, metadata=about("Load in amperes. Where left out, nothing is assumed."))
    overcurrent_amps = Number(
        0.1, 10_000, metadata=about("Rating of the fuse or breaker in amperes. Where left out, nothing is assumed.")
    )
    continuous = Flag(
        metadata=about(
            "Whether the load lasts three hours or more; say no where the device and its assembly are listed for "
            "100 percent of their rating. Where left out, nothing is assumed."
        )
    )
    multiwire = Flag(metadata=about("Whether it is a multiwire branch circuit, sharing one neutral."))
    gfci = Flag(metadata=about("Whether the circuit has ground-fault protection for persons."))


class WorkSchema(Strict):
    """What kind of work it is."""

    reopened = Word(v.REOPENED, metadata=about("How often the joint will be opened again."))
    temporary = Flag(metadata=about("Whether it is temporary wiring."))
    wiring_age = Word(
        v.WIRING_AGE, metadata=about("Age of the wiring that is worked on. Where left out, nothing is assumed.")
    )


class QuestionSchema(Strict):
    """One joint to be decided."""

    id = Text(100, metadata=about("A name of your own for the question; echoed in its answer."))
    code = Word(v.CODES, metadata=about("The code edition whose rules are asked."))
    amendments = Items(Text(100), 0, 20, metadata=about("Names of amendments that the server knows, applied in order."))
    catalogue = Text(100, metadata=about("Name of a catalogue that the server knows."))
    explain = Word(
        v.EXPLAIN, metadata=about("How much the answer tells. Where left out, the call's own `?explain=` decides.")
    )
    limit = Number(
        1,
        100,
        decimals=0,
        metadata=about("How many options to print, 1 to 100; sound ones beyond it are counted in `more`."),
    )
    joint = fields.Nested(JointSchema, required=True, metadata=about("What is to be joined."))
    place = Remembered(PlaceSchema, metadata=about("Where the joint is."))
    circuit = Remembered(CircuitSchema, metadata=about("What the joint is part of."))
    work = Remembered(WorkSchema, metadata=about("What kind of work it is."))
