"""The strip length as a bar at 1:1, to hold a wire against, with a line to see that the print is true to size."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from splicewright.drawing.canvas import Canvas, Drawing, Say, in_english
from splicewright.units import exact, plain

CONTROL_MM = 50
#: The longest bar that a sheet of paper holds beside its margins and a piece of insulation.
_LONGEST_MM = 150
_INSULATION_MM, _HIGH_MM, _LEFT_MM = 10.0, 7.0, 1.0
_BESIDE_MM = 25  # the longest that its words stand beside


def strip_bar(length: Mapping[str, Any], named: str, say: Say = in_english, *, with_control: bool = True) -> Drawing:
    """Draw the bar of a length {value, unit}; `named` says in words how long, and of which conductors.

    Beneath it is the control line, unless that stands elsewhere on the sheet. A length that no sheet holds is told in
    words alone. Raises KeyError for a unit that is none of a length.
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
    first = _LEFT_MM + _INSULATION_MM
    beside = bare <= _BESIDE_MM
    top = 2.0 if beside else 6.0
    where = (first + bare + 2, top + 5) if beside else (_LEFT_MM, 4.0)
    sheet.label(*where, say("Strip {length}", length=named))
    sheet.rectangle(_LEFT_MM, top, _INSULATION_MM, _HIGH_MM, "insulation")
    sheet.hatch_rectangle(_LEFT_MM, top, _INSULATION_MM, _HIGH_MM)
    sheet.rectangle(first, top, bare, _HIGH_MM, "bare")
    for at in range(1, int(bare) + 1):
        if at < bare:
            deep = _HIGH_MM / (2 if at % 5 == 0 else 4)
            sheet.line(first + at, top + _HIGH_MM - deep, first + at, top + _HIGH_MM, thick=0.1)
    for end in (first, first + bare):
        sheet.line(end, top - 1, end, top + _HIGH_MM + 1)
    if with_control:
        _control(sheet, top + _HIGH_MM + 4)
        sheet.text(_LEFT_MM, top + _HIGH_MM + 8, _of_control(say))
    return sheet.drawing(say("Strip length at 1:1"), text)


def control_line(say: Say = in_english) -> Drawing:
    """Draw the control line alone, for all bars of a sheet; its words are to stand beside it."""
    sheet = Canvas("control-line")
    _control(sheet, 1.5)
    return sheet.drawing(say("Strip length at 1:1"), _of_control(say))


def _control(sheet: Canvas, y: float) -> None:
    right = _LEFT_MM + CONTROL_MM
    sheet.line(_LEFT_MM, y, right, y, "control")
    for at in (_LEFT_MM, right):
        sheet.line(at, y - 1.2, at, y + 1.2)


def _of_control(say: Say) -> str:
    return say("This line is {length} mm; where it is not, print at 100 % or measure by hand.", length=CONTROL_MM)
