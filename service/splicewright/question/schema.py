"""What a question may hold: the one declaration that reads and refuses. Nothing is converted or ignored."""

from __future__ import annotations

from typing import Any

from marshmallow import ValidationError, fields, validates_schema

from splicewright.question import vocabulary as v
from splicewright.reading import shown
from splicewright.strict import Flag, Items, Number, Remembered, Strict, Text, Word, Words
from splicewright.tables.insulation import insulation_types
from splicewright.units import Size, size, whole

MOST_CONDUCTORS = 24
_DEGREES = "-60 to 200 degC (-76 to 392 degF)"
_COLDEST, _HOTTEST = whole(-60, "degC"), whole(200, "degC")


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

    value = Number(0, 30_000, required=True)
    unit = Word(v.LENGTH_UNITS, required=True)


class TemperatureSchema(Strict):
    """A temperature with its unit."""

    value = Number(-76, 392, allowed=_DEGREES, required=True)
    unit = Word(v.TEMPERATURE_UNITS, required=True)

    @validates_schema
    def _within(self, data: Any, **_: Any) -> None:
        if not _COLDEST <= whole(data["value"], data["unit"]) <= _HOTTEST:
            says = f"{shown(data['value'])} {data['unit']} is out of range; {_DEGREES} is allowed"
            raise ValidationError(says, "value")


class ConductorSchema(Strict):
    """Like wire ends that enter the joint."""

    size = SizeField(required=True)
    count = Number(1, MOST_CONDUCTORS, decimals=0)
    material = Word(v.MATERIAL)
    construction = Word(v.CONSTRUCTION)
    finish = Word(v.FINISH)
    end = Word(v.END)
    condition = Word(v.CONDITION)
    circuit = Text(40)
    cable = Word(v.CABLE)
    insulation = Words(insulation_types(), single=True, least=1, most=4)
    role = Word(v.ROLE)
    path = Word(v.PATH)


class JointSchema(Strict):
    """The conductors to be connected together at one point."""

    purpose = Word(v.PURPOSE)
    conductors = Items(Remembered(ConductorSchema), 1, MOST_CONDUCTORS, required=True)


class PlaceSchema(Strict):
    """Where the joint is."""

    exposure = Word(v.EXPOSURE)
    site = Word(v.SITE)
    enclosure = Word(v.ENCLOSURE)
    box_material = Word(v.BOX_MATERIAL)
    reach = Word(v.REACH)
    movement = Word(v.MOVEMENT)
    corrosion = Words(v.CORROSION)
    ambient = fields.Nested(TemperatureSchema)
    hazardous = Flag()
    depth = fields.Nested(LengthSchema)
    cover = Word(v.COVER)
    wiring = Word(v.WIRING)
    dwelling = Flag()


class CircuitSchema(Strict):
    """What the joint is part of."""

    kind = Word(v.KIND)
    serves = Word(v.SERVES)
    volts = Number(0.1, 100_000)
    amps = Number(0.1, 10_000)
    overcurrent_amps = Number(0.1, 10_000)
    multiwire = Flag()
    gfci = Flag()


class WorkSchema(Strict):
    """What kind of work it is."""

    reopened = Word(v.REOPENED)
    temporary = Flag()
    wiring_age = Word(v.WIRING_AGE)


class QuestionSchema(Strict):
    """One joint to be decided."""

    id = Text(100)
    code = Word(v.CODES)
    amendments = Items(Text(100), 0, 20)
    catalogue = Text(100)
    explain = Word(v.EXPLAIN)
    limit = Number(1, 100, decimals=0)
    joint = fields.Nested(JointSchema, required=True)
    place = Remembered(PlaceSchema)
    circuit = Remembered(CircuitSchema)
    work = Remembered(WorkSchema)
