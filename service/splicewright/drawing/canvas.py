"""A sheet to draw on, in millimetres: lines, hatching and labels in one color, with what it shows in words.

It becomes an SVG whose width and height are in mm, so that a unit of it is a millimetre on paper.
"""

from __future__ import annotations

import math
import textwrap
from collections.abc import Iterator
from typing import NamedTuple, Protocol
from xml.etree import ElementTree as ET

from splicewright.refusals import clean

#: How wide a drawing is at most, but for what is at 1:1: half of a sheet, or a telephone.
WIDE_MM = 92
LINE_MM = 4
_FONT_MM = 3.2  # 9 pt
_CHARACTER_MM = 0.56 * _FONT_MM  # about


class Say(Protocol):
    """Gives a label in the language of the reader, its slots filled."""

    def __call__(self, label: str, /, **slots: object) -> str:
        """Give `Ports: {count}` with its count, in English or in another language."""


def in_english(label: str, /, **slots: object) -> str:
    """Give a label as it is written."""
    return label.format(**slots)


class Drawing(NamedTuple):
    """A drawing, what it shows in words, and its width in mm. `svg` is empty where nothing is drawn at its size."""

    svg: str
    text: str
    width: float = 0


class Canvas:
    """Takes lines, hatching and labels, from the upper left corner on."""

    def __init__(self, kind: str) -> None:
        """Begin an empty one; `kind` is its class, by which a page or a test finds it."""
        self._kind = kind
        self._drawn: list[ET.Element] = []
        self.width = self.height = 0.0

    def rectangle(self, x: float, y: float, width: float, height: float, name: str = "") -> None:
        """Draw the outline of a rectangle."""
        place = {"x": x, "y": y, "width": width, "height": height}
        self._add("rect", name, place, x + width, y + height)

    def line(self, x1: float, y1: float, x2: float, y2: float, name: str = "", thick: float = 0.25) -> None:
        """Draw a line."""
        place = {"x1": x1, "y1": y1, "x2": x2, "y2": y2, "stroke-width": thick}
        self._add("line", name, place, max(x1, x2), max(y1, y2))

    def circle(self, x: float, y: float, radius: float, thick: float = 0.25) -> None:
        """Draw the outline of a circle."""
        self._add("circle", "", {"cx": x, "cy": y, "r": radius, "stroke-width": thick}, x + radius, y + radius)

    def label(self, x: float, y: float, text: str) -> None:
        """Write a text whose first letter stands at `x` on the line `y`."""
        plain = {"stroke": "none", "fill": "currentColor", "font-family": "sans-serif"}
        place = {"x": x, "y": y, "font-size": _FONT_MM}
        self._add("text", "", place, x + self.width_of(text), y + 0.3 * _FONT_MM, plain).text = clean(text)

    @staticmethod
    def width_of(text: str) -> float:
        """Give how wide a text on one line is, about."""
        return _CHARACTER_MM * len(text)

    def text(self, x: float, y: float, text: str) -> float:
        """Write a text from the line `y` on, on as many as its width asks for; give where the next line would stand."""
        for line in textwrap.wrap(clean(text), max(1, int((WIDE_MM - x) / _CHARACTER_MM))):
            self.label(x, y, line)
            y += LINE_MM
        return y

    def hatch_circle(self, x: float, y: float, radius: float, *, crossed: bool = False, step: float = 0.7) -> None:
        """Hatch a circle at 45 degrees, both ways where `crossed`."""
        for offset in _steps(-radius, radius, step):
            half = math.sqrt(radius**2 - offset**2)
            for way in (1, -1) if crossed else (1,):
                dx, dy = (half / math.sqrt(2)), (half / math.sqrt(2)) * way
                mx, my = x + way * offset / math.sqrt(2), y - offset / math.sqrt(2)
                self.line(mx - dx, my - dy, mx + dx, my + dy, thick=0.1)

    def hatch_rectangle(
        self, x: float, y: float, width: float, height: float, *, way: int = 1, step: float = 1
    ) -> None:
        """Hatch a rectangle at 45 degrees: `way` 1 falls to the right, -1 rises, 0 stands upright."""
        if way == 0:
            for at in _steps(x, x + width, step):
                self.line(at, y, at, y + height, thick=0.1)
            return
        for offset in _steps(-height, width, step):
            first, last = max(0.0, offset), min(width, offset + height)
            top, bottom = first - offset, last - offset
            if way < 0:
                top, bottom = height - top, height - bottom
            self.line(x + first, y + top, x + last, y + bottom, thick=0.1)

    def drawing(self, title: str, text: str) -> Drawing:
        """Give what was drawn, as wide and high as that is, with a title and what it shows in words."""
        width, height = (_number(math.ceil(one + 1)) for one in (self.width, self.height))
        root = ET.Element(
            "svg",
            {
                "xmlns": "http://www.w3.org/2000/svg",
                "class": self._kind,
                "role": "img",
                "width": f"{width}mm",
                "height": f"{height}mm",
                "viewBox": f"0 0 {width} {height}",
                "fill": "none",
                "stroke": "currentColor",
                "stroke-width": "0.25",
            },
        )
        ET.SubElement(root, "title").text = clean(title)
        ET.SubElement(root, "desc").text = clean(text)
        root.extend(self._drawn)
        return Drawing(ET.tostring(root, encoding="unicode"), text, self.width)

    def _add(
        self,
        tag: str,
        name: str,
        place: dict[str, float],
        right: float,
        bottom: float,
        plain: dict[str, str] | None = None,
    ) -> ET.Element:
        found = ET.Element(tag, {"class": name} if name else {})
        for key, value in place.items():
            found.set(key, _number(value))
        for key, text in (plain or {}).items():
            found.set(key, text)
        self._drawn.append(found)
        self.width, self.height = max(self.width, right), max(self.height, bottom)
        return found


def _steps(first: float, last: float, step: float) -> Iterator[float]:
    """Give points between two ends, evenly, neither of the ends."""
    for at in range(1, max(1, math.ceil((last - first) / step))):
        yield first + at * (last - first) / math.ceil((last - first) / step)


def _number(value: float) -> str:
    return f"{round(value, 4):g}" if abs(value) < 1e5 else str(round(value, 4))
