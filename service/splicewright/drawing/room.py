"""The room of a box as a bar: what each thing in it asks for, one after another, beside the room that there is."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from splicewright.drawing.canvas import LINE_MM, WIDE_MM, Canvas, Drawing, Say, in_english

Plain = Mapping[str, Any]
_LEFT_MM, _HIGH_MM = 1, 8
_LONG_MM = WIDE_MM - _LEFT_MM
#: How the segments are hatched in turn, so that neighbors differ: (way, step in mm).
_HATCHING = ((1, 1.2), (-1, 1.2), (0, 1.2), (1, 2.4), (-1, 2.4), (0, 2.4))


def room_bar(box: Plain, say: Say = in_english) -> Drawing:
    """Draw the allowances of an answer about a box, by their cubic inches, beside the volume of the box."""
    counted = [one for one in box["allowances"] if one["total"] and one["total"]["in3"] > 0]
    needed = sum(one["total"]["in3"] for one in counted)
    volume = None if box["volume"] is None else box["volume"]["in3"]
    unit = _LONG_MM / max(needed, volume or 0, 1e-9)
    sheet = Canvas("room")
    told = [_fit(box, needed, volume, say)]
    top, x = sheet.text(_LEFT_MM, 4, told[0]) - 1, float(_LEFT_MM)
    below = top + _HIGH_MM + 2 * LINE_MM + 1
    for number, one in enumerate(counted, start=1):
        width = one["total"]["in3"] * unit
        way, step = _HATCHING[(number - 1) % len(_HATCHING)]
        sheet.rectangle(x, top, width, _HIGH_MM, "allowance")
        sheet.hatch_rectangle(x, top, width, _HIGH_MM, way=way, step=step)
        sheet.label(x + 0.6, top + _HIGH_MM + LINE_MM, str(number))
        told.append(_allowance(number, one, say))
        below = sheet.text(_LEFT_MM, below, told[-1])
        x += width
    if volume is not None:
        end = _LEFT_MM + volume * unit
        sheet.line(_LEFT_MM, top - 1.5, end, top - 1.5, "volume", thick=0.5)
        sheet.line(end, top - 1.5, end, top + _HIGH_MM + 1, thick=0.5)
    told += [say("Some of it has no volume here, and is not in the bar.")] if box["referrals"] else []
    return sheet.drawing(say("The room of the box"), " ".join(told))


def _fit(box: Plain, needed: float, volume: float | None, say: Say) -> str:
    if volume is None:
        return say("{needed} cubic inches are needed; the box is not stated.", needed=_number(needed))
    figures = {"needed": _number(needed), "volume": _number(volume)}
    if box["fits"] is None:
        return say("Not judged: {needed} of {volume} cubic inches are counted.", **figures)
    if box["fits"]:
        return say("It fits: {needed} of {volume} cubic inches are taken.", **figures)
    return say("TOO SMALL: {needed} cubic inches are needed, and there are {volume}.", **figures)


def _allowance(number: int, one: Plain, say: Say) -> str:
    return say(
        "{number}. {kind}: {count} x {size}, {volume} cubic inches.",
        number=number,
        kind=say(one["kind"]),
        count=_number(one["count"]),
        size=f"{one['size']['value']} {one['size']['unit']}",
        volume=_number(one["total"]["in3"]),
    )


def _number(value: float) -> str:
    return f"{value:.10g}"
