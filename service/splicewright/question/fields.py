"""What a question's leaves are read by, beside the words, numbers and flags of `strict_fields.py`."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from typing import Any

from marshmallow import ValidationError, validates_schema

from splicewright.question import vocabulary as v
from splicewright.reading import Says, shown
from splicewright.strict_fields import InputField, NotYet, Number, Word
from splicewright.strict_schema import Strict
from splicewright.units import Size, size, sizes_meant, whole

_DEGREES = "-60 to 200 degC (-76 to 392 degF)"
_COLDEST, _HOTTEST = whole(-60, "degC"), whole(200, "degC")


#: Words that other parts must have, by their names beside a part or their pointers from the question; True where one
#: must be stated at all, False where it must be left out.
Condition = Mapping[str, Collection[str] | bool]


def about(
    says: str,
    *,
    label: str | None = None,
    asked_if: Condition | None = None,
    required_if: Condition | None = None,
    default: Any = None,
) -> dict[str, Any]:
    """Give the metadata of a field that is described so: what the API's document and forms tell of it.

    `default` is what is assumed where it is left out, whatever else is said. `label` stands before it in a form where
    its name does not do. A form asks for it only where all words of `asked_if` hold, and must where those of
    `required_if` do.
    """
    form = {"default": default, "label": label, "asked_if": asked_if, "required_if": required_if}
    return {"description": says, **{key: told for key, told in form.items() if told is not None}}


def amendments() -> NotYet:
    """Make the field for amendments of a code, which no server can keep yet."""
    return NotYet(
        "can't be asked for yet: this version keeps no house rules and so knows no amendments; leave the key out",
        metadata=about("Amendments of the code. No server can keep any yet: leave the key out, or send it empty."),
    )


class SizeField(InputField[Size]):
    """A conductor size, always with its unit."""

    kind = "size"
    default_error_messages = {"required": Says("is required", "missing"), "null": Says("may not be null", "wrong-type")}  # noqa: RUF012

    def _deserialize(self, value: Any, *_: Any, **__: Any) -> Size:
        if isinstance(value, int | float) and not isinstance(value, bool):
            value = shown(value)
        if not isinstance(value, str):
            says = f"{shown(value)} is not a size; write it like '12 AWG' or '2.5 mm2'"
            raise ValidationError(Says(says, "not-a-size"))
        try:
            return size(value)
        except ValueError as error:
            raise ValidationError(Says(str(error), "not-a-size", None, sizes_meant(value))) from None


class LengthSchema(Strict):
    """A length with its unit. A finer one counts as the shorter: cover and free length must be at least so long."""

    value = Number(0, 30_000, safe="down", required=True, metadata=about("The number, in the unit named."))
    unit = Word(v.LENGTH_UNITS, required=True, metadata=about("The unit of the number."))


class TemperatureSchema(Strict):
    """A temperature with its unit. A finer one counts as the hotter."""

    value = Number(
        -76,
        392,
        safe="up",
        allowed=_DEGREES,
        required=True,
        metadata=about(f"The number, in the unit named: {_DEGREES}."),
    )
    unit = Word(v.TEMPERATURE_UNITS, required=True, metadata=about("The unit of the number."))

    @validates_schema
    def _within(self, data: Any, **_: Any) -> None:
        if not _COLDEST <= whole(data["value"], data["unit"]) <= _HOTTEST:
            says = f"{shown(data['value'])} {data['unit']} is out of range; {_DEGREES} is allowed"
            raise ValidationError(Says(says, "out-of-range"), "value")
