"""The conductors of a joint to scale, end on, beside a plain rectangle as large as the connector is outside.

Metal is told by hatching and stranding by the strands drawn, both with their words: no color stands for anything.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from splicewright.drawing.canvas import Canvas, Drawing, Say, in_english
from splicewright.units import exact, plain, size

Plain = Mapping[str, Any]
_SCALES = (2.0, 1.0, 0.5, 0.25, 0.1)
_BODY_MM, _CONDUCTOR_MM = 70, 24  # the most that a body or one conductor may measure on the sheet
_ROW_MM, _GAP_MM, _BETWEEN_MM = 85, 1.5, 6
_LEAST_MM = 48  # that the words beneath a body take
_PORTS = re.compile(r"([1-9][0-9]?) ports?:")
#: Strands that stand for all that a conductor has: (rings of strands about the middle one).
_RINGS = {"solid": 0, "stranded": 1, "fine-stranded": 2}


def joint_drawing(conductors: Sequence[Plain], listing: Plain | None, say: Say = in_english) -> Drawing:
    """Draw a joint of `conductors`, each {size, count, material, construction}, beside the connector of a listing.

    A size is text (`12 AWG`) or {value, unit}. The listing is as a catalogue's page shows it; None: no connector.
    What it does not state is told so, and not drawn. Raises ValueError for a size that is none.
    """
    sides = _sides(listing)
    thick = [(_diameter(one), one) for one in conductors]
    scale = _scale(sides, [across for across, _ in thick])
    sheet = Canvas("joint-drawing")
    sheet.label(1, 4, say("Scale {scale}", scale=_scale_text(scale)))
    told = [*_body(sheet, sides, _ports(listing), listing, scale, say)]
    left, y = (max(sides[0] * scale, _LEAST_MM) + _BETWEEN_MM if sides else 1.0), 8.0
    for across, one in thick:
        y = _row(sheet, left, y, across * scale, one)
        told.append(_words(one, across, say))
        sheet.label(left, y + 3, told[-1])
        y += 7
    told.append(say("Metal only: insulation is not drawn, and strands are drawn as their sum."))
    return sheet.drawing(say("The joint to scale"), " ".join(told))


def _diameter(conductor: Plain) -> float:
    """Give how thick a conductor's metal is, in mm: that of a round wire with the area of its size."""
    return 2 * math.sqrt(size(_size_text(conductor)).area / 1e6 / math.pi)


def _size_text(conductor: Plain) -> str:
    found = conductor["size"]
    return found if isinstance(found, str) else f"{found['value']} {found['unit']}"


def _sides(listing: Plain | None) -> list[float]:
    """Give the outside dimensions in mm: length, width and perhaps height; empty where they are not stated."""
    stated = [] if listing is None else listing.get("outside", ())
    return [float(exact(one["value"], one["unit"]) / 1000) for one in stated]


def _ports(listing: Plain | None) -> int:
    """Give how many ports a connector has; 0 where its listing has combinations that go in together."""
    found = [
        sum(int(match[1]) for line in take.get("ports", ()) if (match := _PORTS.match(line)))
        for take in ([] if listing is None else listing.get("takes", ()))
    ]
    return max(found, default=0)


def _scale(sides: Sequence[float], thick: Iterable[float]) -> float:
    body, conductor = max(sides[:2], default=0), max(thick, default=0)
    fits = (one for one in _SCALES if body * one <= _BODY_MM and conductor * one <= _CONDUCTOR_MM)
    return next(fits, _SCALES[-1])


def _scale_text(scale: float) -> str:
    return f"{plain(scale)}:1" if scale >= 1 else f"1:{plain(1 / scale)}"


def _body(
    sheet: Canvas, sides: Sequence[float], ports: int, listing: Plain | None, scale: float, say: Say
) -> Iterable[str]:
    """Draw the connector, and give what it is in words."""
    if listing is None:
        return
    if not sides:
        told = say("The outside of {name} is not stated by its listing; it is not drawn.", name=listing["name"])
        sheet.label(20, 4, told)
        yield told
        return
    length, width = sides[0] * scale, sides[1] * scale
    sheet.rectangle(1, 8, length, width, "body")
    each = min(width / max(ports, 1) * 0.6, 5.0)
    for at in range(ports):
        sheet.rectangle(1 + length - each, 8 + width * (at + 0.5) / ports - each / 2, each, each, "port")
    outside = f"{' x '.join(plain(round(one, 1)) for one in sides)} mm"
    yield say("{name}, {outside} outside.", name=listing["name"], outside=outside)
    sheet.label(1, 12 + width, outside)
    if ports:
        told = say("Ports: {count}, spread evenly; the listing does not say where they are.", count=ports)
    else:
        told = say("The conductors go in together.")
    sheet.label(1, 16 + width, say("Ports: {count}", count=ports) if ports else told)
    yield told


def _row(sheet: Canvas, left: float, y: float, across: float, conductor: Plain) -> float:
    """Draw like conductors in rows, and give where the next thing may stand."""
    count = int(conductor.get("count", 1))
    in_a_row = max(1, int(_ROW_MM // (across + _GAP_MM)))
    for at in range(count):
        line, place = divmod(at, in_a_row)
        x = left + place * (across + _GAP_MM) + across / 2
        _end(sheet, x, y + line * (across + _GAP_MM) + across / 2, across / 2, conductor)
    return y + float(math.ceil(count / in_a_row)) * (across + _GAP_MM)


def _end(sheet: Canvas, x: float, y: float, radius: float, conductor: Plain) -> None:
    material = conductor.get("material", "copper")
    sheet.circle(x, y, radius)
    sheet.hatch_circle(x, y, radius, crossed=material != "copper")
    if material == "copper-clad-aluminum":
        sheet.circle(x, y, radius * 0.85, thick=0.15)
    rings = _RINGS.get(conductor.get("construction", "solid"), 0)
    strand = radius / (2 * rings + 1)
    for ring in range(1, rings + 1):
        for at in range(6 * ring):
            turn = 2 * math.pi * at / (6 * ring)
            away = 2 * strand * ring
            sheet.circle(x + away * math.cos(turn), y + away * math.sin(turn), strand, thick=0.1)
    if rings:
        sheet.circle(x, y, strand, thick=0.1)


def _words(conductor: Plain, across: float, say: Say) -> str:
    return say(
        "{count} x {size} {material}, {construction}: {across} mm.",
        count=conductor.get("count", 1),
        size=_size_text(conductor),
        material=say(conductor.get("material", "copper")),
        construction=say(conductor.get("construction", "solid")),
        across=plain(round(across, 2)),
    )
