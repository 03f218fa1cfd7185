"""Numbers with their units."""

from __future__ import annotations

from marshmallow import Schema

from splicewright.api.shapes.fields import number, text, word

SIZE_UNITS = ("AWG", "kcmil", "mm2")


class QuantityShape(Schema):
    """A number with its unit."""

    value = number("The number.")
    unit = text("Its unit.")


class SizeShape(Schema):
    """A conductor's size. A question writes it as one text: `12 AWG`."""

    value = text("Text, since not every size is a number: `4/0`, `250`, `2.5`.")
    unit = word(SIZE_UNITS, "Its unit.")


class VolumesShape(Schema):
    """A volume in both units; cubic inches are exact and decide."""

    in3 = number("Cubic inches.")
    cm3 = number("Cubic centimetres, rounded.")


class LengthsShape(Schema):
    """A length in both units, as the code gives them."""

    inches = number("Inches.", key="in")
    mm = number("Millimetres.")
