"""Standard boxes and their volumes, and the volume that a conductor asks for. Source: rulesets/tables/boxes.yaml."""

from __future__ import annotations

import functools
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Any

from splicewright.tables.loader import table
from splicewright.units import Size, size


@dataclass(frozen=True, slots=True)
class StandardBox:
    """A box of the table: its volume in cubic inches, for each gang where it is made by gangs."""

    name: str
    in3: Fraction
    per_gang: bool

    def volume(self, gangs: int = 1) -> Fraction:
        """Give the volume in cubic inches of a box for `gangs` devices; only a box made by gangs grows with them."""
        return self.in3 * gangs if self.per_gang else self.in3


@dataclass(frozen=True, slots=True)
class ConductorVolume:
    """What one conductor asks for, in cubic inches, by the row of the table that was taken for it."""

    in3: Fraction
    row: Size
    exact: bool  # False: its size is not in the table, and the next larger row was taken


@functools.cache
def standard_boxes() -> dict[str, StandardBox]:
    """Give the boxes of the table by name, in the order of the table."""
    rows = table("boxes").rows
    return {
        name: StandardBox(name, Fraction(str(in3)), name in rows["per_gang"]) for name, in3 in rows["boxes"].items()
    }


def standard_material() -> str:
    """Give what the boxes of the table are made of."""
    return str(table("boxes").rows["material"])


@functools.cache
def _rows() -> tuple[ConductorVolume, ...]:
    rows = table("boxes").rows["per_conductor"]
    found = [ConductorVolume(Fraction(str(in3)), size(name), exact=True) for name, in3 in rows.items()]
    return tuple(sorted(found, key=lambda one: one.row))


@functools.lru_cache(maxsize=1024)
def conductor_volume(of: Size) -> ConductorVolume | None:
    """Give what a conductor asks for. A size between two rows takes the larger; None above the largest row."""
    for volume in _rows():
        if of == volume.row:
            return volume
        if of < volume.row:
            return replace(volume, exact=False)
    return None


def boxes_hold_for(code: str) -> bool:
    """Say whether box fill was read for a code edition."""
    return table("boxes").holds_for(code)


def box_source(code: str, part: str) -> dict[str, Any]:
    """Give what the volume of a box rests on: `boxes` for one of the table, `marked` for a marked one."""
    found = table("boxes")
    return found.cited(code, found.rows["cited"][part])
