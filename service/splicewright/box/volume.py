"""Volumes, exact. What is compared is cubic inches; cubic centimetres are converted by the inch's definition."""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

CM3_PER_IN3 = Fraction(254, 100) ** 3
_UM3_PER_IN3 = 25_400**3
_PLACES = 10_000  # cubic inches are printed to four places: a quarter of every allowance has no more


@dataclass(frozen=True, slots=True, order=True)
class Volume:
    """A volume in cubic inches."""

    in3: Fraction

    def __add__(self, other: Volume) -> Volume:
        return Volume(self.in3 + other.in3)

    def __sub__(self, other: Volume) -> Volume:
        return Volume(self.in3 - other.in3)

    def __mul__(self, count: Fraction | int) -> Volume:
        return Volume(self.in3 * count)

    def to_dict(self) -> dict[str, float]:
        """Give {in3, cm3}: cubic inches rounded down to four places, cubic centimetres to the nearest tenth.

        Every sum of allowances has four places at most, so the cubic inches printed never show room that is not there.
        """
        return {
            "in3": _number(Fraction(math.floor(self.in3 * _PLACES), _PLACES)),
            "cm3": _number(Fraction(round(self.in3 * CM3_PER_IN3 * 10), 10)),
        }

    def __str__(self) -> str:
        """Give it as printed: `20.25 in3`."""
        return f"{self.to_dict()['in3']:.10g} in3"


NOTHING = Volume(Fraction(0))


def measured_volume(value: float, unit: str) -> Volume:
    """Read a value in `in3` or `cm3`, exactly as its decimals say."""
    exact = Fraction(str(value))
    return Volume(exact if unit == "in3" else exact / CM3_PER_IN3)


def block(*sides: int) -> Volume:
    """Give the volume of a block of sides in micrometres. Two sides are length and diameter of a round body."""
    length, *across = sides
    wide, deep = across if len(across) == 2 else across * 2
    return Volume(Fraction(length * wide * deep, _UM3_PER_IN3))


def total(volumes: Any) -> Volume:
    """Add volumes up."""
    found = NOTHING
    for volume in volumes:
        found += volume
    return found


def _number(exact: Fraction) -> float:
    return int(exact) if exact.denominator == 1 else float(exact)
