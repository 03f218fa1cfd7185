"""What insulation types and cables are good for: wet places, the ground, degrees, volts."""

from __future__ import annotations

import functools
from dataclasses import dataclass

from splicewright.tables.loader import table


@dataclass(frozen=True, slots=True)
class Insulation:
    """One type: may it be wet or buried, its degrees Celsius (dry, wet), its volts. None: does not apply."""

    type: str
    wet: bool
    burial: bool
    degrees: int | None
    degrees_wet: int | None
    volts: int | None


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
            letters, row["wet"], row["burial"], row.get("degrees"), row.get("degrees_wet"), row.get("volts")
        )
        for letters, row in rows.items()
    }
