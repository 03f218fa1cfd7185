"""What insulation types and cables are good for: wet places, the ground, degrees, volts."""

from __future__ import annotations

import functools
from dataclasses import dataclass

from splicewright.tables.loader import table
from splicewright.units import Size, size


@dataclass(frozen=True, slots=True)
class Insulation:
    """One type: may it be wet or buried, its degrees Celsius (dry, wet), its volts. None: does not apply."""

    type: str
    wet: bool
    burial: bool
    degrees: int | None
    degrees_wet: int | None
    volts: int | None
    fixture: bool = False  # a fixture wire, with ampacities of its own
    final_degrees: int | None = None  # the column that holds a cable's ampacity after correction
    made: tuple[Size, Size] | None = None  # the least and the largest size that it is made in

    def is_made(self, in_size: Size) -> bool:
        """Say whether wire of such a size has it, as far as is known."""
        return self.made is None or self.made[0] <= in_size <= self.made[1]


@functools.cache
def insulation_types() -> dict[str, Insulation]:
    """Give all types by their letters, `bare` among them. Source: rulesets/tables/insulation.yaml."""
    return _read("types")


@functools.cache
def cable_insulation() -> dict[str, Insulation]:
    """Give what is known of a conductor from its cable alone. Source: rulesets/tables/insulation.yaml."""
    return _read("cables")


def _read(part: str) -> dict[str, Insulation]:
    rows = table("insulation").rows[part]
    return {
        letters: Insulation(
            letters,
            row["wet"],
            row["burial"],
            row.get("degrees"),
            row.get("degrees_wet"),
            row.get("volts"),
            row.get("fixture", False),
            row.get("final_degrees"),
            (size(row["made"][0]), size(row["made"][1])) if "made" in row else None,
        )
        for letters, row in rows.items()
    }


@functools.cache  # of three closed lists of words
def is_wet_place(**place: str) -> bool:
    """Say whether a place (`exposure`, `enclosure`, `site`) is wet. Source: rulesets/tables/insulation.yaml."""
    return any(all(place[key] in words for key, words in row.items()) for row in table("insulation").rows["wet_places"])
