"""What a question's leaves are read by, beside the words, numbers and flags of `strict_fields.py`."""

from __future__ import annotations

from typing import Any

from marshmallow import ValidationError, validates_schema

from splicewright.question import vocabulary as v
from splicewright.reading import shown
from splicewright.strict_fields import InputField, Number, Word
from splicewright.strict_schema import Strict
from splicewright.units import Size, size, whole

_DEGREES = "-60 to 200 degC (-76 to 392 degF)"
_COLDEST, _HOTTEST = whole(-60, "degC"), whole(200, "degC")


def about(says: str) -> dict[str, str]:
    """Give the metadata of a field that is described so, as the API's document prints it."""
    return {"description": says}


class SizeField(InputField[Size]):
    """A conductor size, always with its unit."""

    kind = "size"
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
