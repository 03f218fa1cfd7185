"""The strip length as a bar at 1:1, to hold a wire against, with a line to see that the print is true to size."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from splicewright.drawing.canvas import Canvas, Drawing, Say, in_english
from splicewright.units import exact, plain

CONTROL_MM = 50
#: The longest bar that a sheet of paper holds beside its margins and a piece of insulation.
_LONGEST_MM = 150
_INSULATION_MM, _HIGH_MM, _LEFT_MM = 15.0, 7.0, 1.0


def strip_bar(length: Mapping[str, Any], named: str, say: Say = in_english) -> Drawing:
    """Draw the bar of a length {value, unit}; `named` says in words how long, and of which conductors.

    A length that no sheet holds is told in words alone. Raises KeyError for a unit that is none of a length.
    """
    bare = float(exact(length["value"], length["unit"]) / 1000)
    if bare > _LONGEST_MM:
        return Drawing("", say("Strip {length}: measure it, it is longer than a sheet holds.", length=named))
    text = say(
        "Strip {length}. The bar is {bare} mm from the end of the insulation to the end of the wire.",
        length=named,
        bare=plain(round(bare, 2)),
    )
    sheet = Canvas("strip-bar")
    sheet.label(_LEFT_MM, 4, say("Strip {length}", length=named))
    top, first = 6.0, _LEFT_MM + _INSULATION_MM
    sheet.rectangle(_LEFT_MM, top, _INSULATION_MM, _HIGH_MM, "insulation")
    sheet.hatch_rectangle(_LEFT_MM, top, _INSULATION_MM, _HIGH_MM)
    sheet.rectangle(first, top, bare, _HIGH_MM, "bare")
    for at in range(1, int(bare) + 1):
        if at < bare:
            deep = _HIGH_MM / (2 if at % 5 == 0 else 4)
            sheet.line(first + at, top + _HIGH_MM - deep, first + at, top + _HIGH_MM, thick=0.1)
    for end in (first, first + bare):
        sheet.line(end, top - 1, end, top + _HIGH_MM + 1)
    _control(sheet, top + _HIGH_MM + 4, say)
    return sheet.drawing(say("Strip length at 1:1"), text)


def _control(sheet: Canvas, y: float, say: Say) -> None:
    right = _LEFT_MM + CONTROL_MM
    sheet.line(_LEFT_MM, y, right, y, "control")
    for at in (_LEFT_MM, right):
        sheet.line(at, y - 1.2, at, y + 1.2)
    told = say("This line is {length} mm; where it is not, print at 100 % or measure by hand.", length=CONTROL_MM)
    sheet.label(_LEFT_MM, y + 4, told, size=2.6)
