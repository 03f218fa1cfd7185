"""How many volume allowances each thing in a box asks for. Source: rulesets/tables/box-allowances.yaml.

The figures are those of one edition: `allowance_rules("nfpa70-2023")`. None is stretched to another edition.
"""

from __future__ import annotations

import functools
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from splicewright.codes import edition_of
from splicewright.tables.loader import table
from splicewright.units import Size, size

Source = dict[str, Any]


@dataclass(frozen=True, slots=True)
class AllowanceText:
    """What a kind of allowance rests on, and the words that tell it (with places such as `{size}`)."""

    words: str
    source: Source


@dataclass(frozen=True, slots=True)
class Grounding:
    """Allowances of equipment grounding conductors: `first` for up to `together` (None: all), then `each_further`."""

    first: Fraction
    together: int | None
    each_further: Fraction
    isolated_apart: bool
    told: AllowanceText
    isolated_told: AllowanceText
    isolated_together: AllowanceText  # a caution

    def allowances(self, count: int) -> Fraction:
        """Give the number of allowances that `count` conductors of one set ask for."""
        if not count:
            return Fraction(0)
        further = 0 if self.together is None else max(0, count - self.together)
        return self.first + self.each_further * further


@dataclass(frozen=True, slots=True)
class AllowanceRules:
    """The counts of one edition."""

    paths: dict[str, tuple[int, AllowanceText]]
    canopy_fixture_wires: int
    canopy_smaller_than: Size
    canopy: AllowanceText
    clamps: tuple[int, AllowanceText]
    fittings: tuple[int, AllowanceText]
    devices: tuple[int, AllowanceText]  # for each gang
    grounding: Grounding
    terminal_blocks: tuple[int, AllowanceText]
    blocks_not_counted: AllowanceText  # a caution
    handed_over: AllowanceText  # a referral


@functools.cache
def allowance_rules(code: str) -> AllowanceRules:
    """Give the counts of a code edition. Raises KeyError for one that was not read."""
    found, edition = table("box-allowances"), edition_of(code)
    rows = found.rows

    def told(row: dict[str, Any], words: str, obtained: str | None = None) -> AllowanceText:
        return AllowanceText(words, found.cited(code, row["section"], obtained or row.get("obtained")))

    def counted(kind: str) -> tuple[int, AllowanceText]:
        return rows[kind]["allowances"], told(rows[kind], rows[kind]["for"])

    conductors, canopy, blocks, large = (
        rows[name] for name in ("conductors", "canopy", "terminal_blocks", "handed_over")
    )
    block = found.figure(blocks["editions"], edition)
    return AllowanceRules(
        paths={path: (row["allowances"], told(conductors, row["for"])) for path, row in conductors["paths"].items()},
        canopy_fixture_wires=canopy["fixture_wires"],
        canopy_smaller_than=size(canopy["smaller_than"]),
        canopy=told(canopy, canopy["for"]),
        clamps=counted("clamps"),
        fittings=counted("fittings"),
        devices=counted("devices"),
        grounding=_grounding(rows["grounding"], found.figure(rows["grounding"]["editions"], edition), told),
        terminal_blocks=(block["allowances"], told(block, blocks["for"])),
        blocks_not_counted=told(block, blocks["not_counted_says"]),
        handed_over=told(large, large["says"]),
    )


def _grounding(row: dict[str, Any], figures: dict[str, Any], told: Any) -> Grounding:
    return Grounding(
        first=Fraction(figures["first"]),
        together=figures.get("together"),
        each_further=Fraction(str(figures["each_further"])),
        isolated_apart=figures["isolated"] == "apart",
        told=told(row, row["for"], figures["obtained"]),
        isolated_told=told(row, row["isolated_for"], figures["isolated_obtained"]),
        isolated_together=told(row, row["isolated_together_says"], figures["isolated_obtained"]),
    )
