"""The conductors of a joint to scale, end on, beside a plain rectangle as large as the connector is outside.

Metal is told by hatching and stranding by the strands drawn, both with their words: no color stands for anything.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Mapping, Sequence
from typing import Any, NamedTuple

from splicewright.drawing.canvas import LINE_MM, WIDE_MM, Canvas, Drawing, Say, in_english
from splicewright.units import exact, plain, size

Plain = Mapping[str, Any]
_SCALES = (2.0, 1.0, 0.5, 0.25, 0.1)
_BODY_MM, _CONDUCTOR_MM = 70, 24  # the most that a body or one conductor may measure on the sheet
_GAP_MM, _BETWEEN_MM = 1.5, 5
_PORTS = re.compile(r"([1-9][0-9]?) ports?:")
#: Strands that stand for all that a conductor has: (rings of strands about the middle one).
_RINGS = {"solid": 0, "stranded": 1, "fine-stranded": 2}


def joint_drawing(
    conductors: Sequence[Plain], listing: Plain | None, say: Say = in_english, *, most: float = _SCALES[0]
) -> Drawing:
    """Draw a joint of `conductors`, each {size, count, material, construction}, beside the connector of a listing.

    It is drawn at the largest scale that its space takes, and at `most` at that (1: no larger than it is). A size is
    text (`12 AWG`) or {value, unit}. The listing is as a catalogue's page shows it; None: no connector. What it does
    not state is told so, and not drawn. Raises ValueError for a size that is none.
    """
    sides = _sides(listing)
    thick = [(_diameter(one), one) for one in conductors]
    scale = _scale(sides, [across for across, _ in thick], most)
    sheet = Canvas("joint-drawing")
    body = _Body(sides, _ports(listing), listing, scale)
    told = body.words(say)
    kinds = [_kind(one, across, say) for across, one in thick]
    left, y, bottom = 1.0, 1.0, 0.0
    if sides:
        right, bottom = body.draw(sheet)
        beside = right + _BETWEEN_MM
        fits = beside + max(map(sheet.width_of, kinds)) <= WIDE_MM
        left, y = (beside, y) if fits else (left, bottom + _GAP_MM)
    for (across, one), kind in zip(thick, kinds, strict=True):
        y = _row(sheet, left, y, across * scale, one) + LINE_MM - 1
        told.append(_words(one, across, say))
        for line in (f"{one.get('count', 1)} x {_size_text(one)}", kind):
            y = sheet.text(left, y, line)
        y -= 1
    y = max(y, bottom)
    for line in body.beneath(say, say("Scale {scale}", scale=_scale_text(scale))):
        y = sheet.text(1, y + LINE_MM, line) - LINE_MM
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


def _scale(sides: Sequence[float], thick: Iterable[float], most: float) -> float:
    body, conductor = max(sides[:2], default=0), max(thick, default=0)
    fits = (one for one in _SCALES if one <= most and body * one <= _BODY_MM and conductor * one <= _CONDUCTOR_MM)
    return next(fits, _SCALES[-1])


def _scale_text(scale: float) -> str:
    return f"{plain(scale)}:1" if scale >= 1 else f"1:{plain(1 / scale)}"


class _Body(NamedTuple):
    """A connector's outside: its sides in mm, its ports, its listing, and the scale that it is drawn at."""

    sides: Sequence[float]
    ports: int
    listing: Plain | None
    scale: float

    def draw(self, sheet: Canvas) -> tuple[float, float]:
        """Draw it, and give its lower right corner."""
        length, width = self.sides[0] * self.scale, self.sides[1] * self.scale
        sheet.rectangle(1, 1, length, width, "body")
        each = min(width / max(self.ports, 1) * 0.6, 5.0)
        for at in range(self.ports):
            y = 1 + width * (at + 0.5) / self.ports - each / 2
            sheet.rectangle(1 + length - each, y, each, each, "port")
        return 1 + length, 1 + width

    def words(self, say: Say) -> list[str]:
        """Tell what it is, or that it is not stated."""
        if self.listing is None:
            return []
        if not self.sides:
            says = "The outside of {name} is not stated by its listing; it is not drawn."
            return [say(says, name=self.listing["name"])]
        together = say("The conductors go in together.")
        spread = "Ports: {count}, spread evenly; the listing does not say where they are."
        return [
            say("{name}, {outside} outside.", name=self.listing["name"], outside=self._outside()),
            say(spread, count=self.ports) if self.ports else together,
        ]

    def beneath(self, say: Say, scale: str) -> list[str]:
        """Give the lines that stand beneath the drawing."""
        if not self.sides:
            return [*self.words(say), scale]
        ports = say("Ports: {count}", count=self.ports) if self.ports else say("The conductors go in together.")
        return [f"{self._outside()}. {ports.rstrip('.')}. {scale}"]

    def _outside(self) -> str:
        return f"{' x '.join(plain(round(one, 1)) for one in self.sides)} mm"


def _row(sheet: Canvas, left: float, y: float, across: float, conductor: Plain) -> float:
    """Draw like conductors in rows, and give where the next thing may stand."""
    count = int(conductor.get("count", 1))
    in_a_row = max(1, int((WIDE_MM - left) // (across + _GAP_MM)))
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


def _kind(conductor: Plain, across: float, say: Say) -> str:
    return say(
        "{material}, {construction}: {across} mm",
        material=say(conductor.get("material", "copper")),
        construction=say(conductor.get("construction", "solid")),
        across=plain(round(across, 2)),
    )


def _words(conductor: Plain, across: float, say: Say) -> str:
    return say(
        "{count} x {size} {material}, {construction}: {across} mm.",
        count=conductor.get("count", 1),
        size=_size_text(conductor),
        material=say(conductor.get("material", "copper")),
        construction=say(conductor.get("construction", "solid")),
        across=plain(round(across, 2)),
    )
