"""Boxes: their volumes, what fills them, how much is left free. Sources: boxes.yaml, box-*.yaml, free-length.yaml.

What is asked for a code is a code edition such as `nfpa70-2023`. None is stretched to another.
"""

from __future__ import annotations

import functools
from collections.abc import Iterator, Mapping
from fractions import Fraction
from typing import Any, NamedTuple

from splicewright.answer_forms import source_plain
from splicewright.codes import edition_of
from splicewright.tables.loader import holds_for, table
from splicewright.units import Size, size


class StandardBox(NamedTuple):
    """A box of the table: its volume in cubic inches, for each gang where it is made by gangs."""

    name: str
    in3: Fraction
    per_gang: bool

    def volume(self, gangs: int = 1) -> Fraction:
        """Give the volume in cubic inches of a box for `gangs` devices; only a box made by gangs grows with them."""
        return self.in3 * gangs if self.per_gang else self.in3


class ConductorVolume(NamedTuple):
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
            return volume._replace(exact=False)
    return None


def boxes_hold_for(code: str) -> bool:
    """Say whether box fill was read for a code edition."""
    return holds_for("boxes", code)


def box_source(code: str, part: str) -> dict[str, Any]:
    """Give what the volume of a box rests on: `boxes` for one of the table, `marked` for a marked one."""
    found = table("boxes")
    return found.cited(code, found.rows["cited"][part])


# --- volume allowances, of box-allowances.yaml ---------------------------------------------------

Source = dict[str, Any]


class AllowanceText(NamedTuple):
    """What a kind of allowance rests on, and the words that tell it (with places such as `{size}`)."""

    words: str
    source: Source


class Grounding(NamedTuple):
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


class AllowanceRules(NamedTuple):
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


# --- what the trade heeds about room in a box, of box-practice.yaml ------------------------------

#: What every sentence of this table rests on.
PRACTICE = source_plain(None)


def bodies_share() -> Fraction:
    """Give the share of the volume left that the bodies of connectors may take."""
    return Fraction(str(table("box-practice").rows["crowding"]["share_of_left"]))


def crowded_says(**places: object) -> str:
    """Give the caution where they take more. Places: count, bodies, left."""
    return str(table("box-practice").rows["crowding"]["says"]).format(**places)


def practice_says(name: str, **places: object) -> str:
    """Give the sentence called `name` (without its `_says`) with its places filled in."""
    return str(table("box-practice").rows[f"{name}_says"]).format(**places)


def box_sentences() -> tuple[str, ...]:
    """Give every sentence that an answer about a box may say, its places open."""
    return tuple(
        sentence
        for name in ("box-allowances", "box-practice", "free-length")
        for sentence in _sentences(table(name).rows)
    )


def _sentences(rows: Mapping[str, Any]) -> Iterator[str]:
    for key, value in rows.items():
        if isinstance(value, Mapping):
            yield from value.values() if key == "says" else _sentences(value)
        elif key.endswith("says"):
            yield value


def settled_by_fill() -> str:
    """Give the concern that the fill of a box settles, for the box and for each joint in it."""
    return str(table("box-practice").rows["settles"])


# --- free conductor left at a box, of free-length.yaml -------------------------------------------


class FreeLength(NamedTuple):
    """The code's own figures in one unit (`in` or `mm`)."""

    unit: str
    free: int
    outside: int
    opening_below: int
    loop: int  # the least length of an unbroken loop that counts twice


def free_length(unit: str) -> FreeLength:
    """Give the figures in a unit."""
    rows = table("free-length").rows
    row = rows[unit]
    return FreeLength(unit, row["free"], row["outside"], row["opening_below"], rows["loop"] * row["free"])


def standard_opening() -> str:
    """Give the kind of opening that every standard box has: `small`, which is below the limit, or `large`."""
    return str(table("free-length").rows["standard_boxes"])


def free_length_says(opening: str, unit: str) -> str:
    """Give in words what an opening (`small`, `large`, `unknown`) asks for."""
    figures = free_length(unit)
    places = {name: f"{getattr(figures, name)} {unit}" for name in ("free", "outside", "opening_below")}
    return str(table("free-length").rows["says"][opening].format(**places))


def free_length_source(code: str) -> dict[str, Any]:
    """Give what the figures rest on in a code edition. Raises KeyError for one that was not read."""
    return table("free-length").cited(code)
