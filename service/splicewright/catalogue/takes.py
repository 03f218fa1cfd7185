"""What a listing says that a connector takes, in ports or by total metal, and figures by size: plain values.

They have nothing that a joint's answer calls: what judges by them stands in `fill.py` and `metal_fill.py`.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING, NamedTuple

from splicewright.units import METAL_UNITS, MM2_PER_KCMIL, Measured, Size, counted

if TYPE_CHECKING:
    from splicewright.catalogue.model import Combination


class Range(NamedTuple):
    """The sizes that a port takes of some kinds of conductor. Both ends are of one system of sizes and included."""

    least: Size
    most: Size
    kinds: int
    words: str  # `fine-stranded with ferruled ends`

    def __str__(self) -> str:
        """Give it as printed: `solid 20 AWG to 12 AWG`."""
        sizes = str(self.most) if self.least == self.most else f"{self.least} to {self.most}"
        return f"{self.words} {sizes}"


@dataclass(frozen=True, slots=True)
class Port:
    """Like ports: how many there are, how many conductors each may hold, and of which kinds and sizes."""

    count: int
    conductors: int
    ranges: tuple[Range, ...]

    def __str__(self) -> str:
        """Give it as printed: `3 ports: solid 20 AWG to 12 AWG`."""
        each = "" if self.conductors == 1 else f", each for up to {self.conductors} conductors"
        ports = counted(self.count, "port")
        return f"{ports}{each}: {', '.join(map(str, self.ranges))}"


class Metal(NamedTuple):
    """A listing by total metal: how much, how many conductors of which sizes and kinds. All ends are included."""

    least: Measured
    most: Measured
    fewest: int  # conductors
    utmost: int
    thinnest: Size
    thickest: Size
    kinds: int

    def __str__(self) -> str:
        """Give it as printed: `2 to 5 conductors of 18 AWG to 12 AWG, 3 mm2 to 9.5 mm2 of metal in all`."""
        many = counted(self.utmost, "conductor")
        if self.fewest < self.utmost:
            many = f"{self.fewest} to {many}"
        sizes = str(self.thickest) if self.thinnest == self.thickest else f"{self.thinnest} to {self.thickest}"
        return f"{many} of {sizes}, {self.least} to {self.most} of metal in all"


class Take(NamedTuple):
    """One group of a listing: combinations, ports, or totals of metal.

    `least` is the fewest conductors that its ports are listed for.
    """

    combinations: tuple[Combination, ...] = ()
    ports: tuple[Port, ...] = ()
    least: int = 1
    metal: tuple[Metal, ...] = ()

    def __str__(self) -> str:
        """Give its ports as printed."""
        return " + ".join(map(str, self.ports))


class Figure(NamedTuple):
    """A listed figure, from size `least` to `most` (both None: of all sizes), of some materials (empty: of all)."""

    value: Measured
    least: Size | None = None
    most: Size | None = None
    materials: tuple[str, ...] = ()
    ports: str = ""  # those that it is for, as printed

    @property
    def holds(self) -> str:
        """For what it holds, in words: ` from 8 AWG to 2 AWG of copper`; empty where it holds for all."""
        sizes = "" if self.least is None else f" from {self.least} to {self.most}"
        metals = f" of {' or '.join(self.materials)}" if self.materials else ""
        return f"{sizes}{metals}"


def in_mm2(metal: Measured) -> Fraction:
    """Give an amount of metal in square millimetres."""
    unit, times = METAL_UNITS[metal.unit]
    amount = Fraction(str(metal.value)) * times
    return amount if unit == "mm2" else amount * MM2_PER_KCMIL / 1000


def in_um2(metal: Measured) -> int:
    """Give an amount of metal in square micrometres, as the areas of sizes are given."""
    return round(in_mm2(metal) * 1_000_000)
