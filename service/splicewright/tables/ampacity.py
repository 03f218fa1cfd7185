"""Ampacity of conductors, its correction for the place's temperature, and what small conductors may be protected by."""

from __future__ import annotations

import functools
from fractions import Fraction

from splicewright.tables.loader import table
from splicewright.units import Size, size

#: The columns of the table: degrees Celsius of the insulation.
COLUMNS = (60, 75, 90)


def sizes() -> tuple[str, ...]:
    """Give the sizes of the table's copper, the least first."""
    return tuple(table("ampacity").rows["amperes"]["copper"])


@functools.lru_cache(maxsize=4096)
def gauge_of(given: Size, material: str) -> str | None:
    """Give the size that the tables judge a conductor by: its own, or the next smaller one that they have.

    None below the least of them.
    """
    rows = table("ampacity").rows
    names = rows["amperes"][rows["metals"][material]]
    if given.text in names:
        return given.text
    smaller = [one for one in map(size, names) if one <= given]
    return max(smaller).text if smaller else None


@functools.lru_cache(maxsize=4096)
def most_amperes(given: Size, material: str) -> int:
    """Give what a conductor carries at the most, whatever its insulation; below the least size what that carries."""
    rows = table("ampacity").rows
    names = rows["amperes"][rows["metals"][material]]
    gauge = gauge_of(given, material) or min(map(size, names)).text
    return max(int(amperes) for amperes in names[gauge].values())


def column_for(degrees: int) -> int | None:
    """Give the hottest column that an insulation of `degrees` may use; None below the coolest."""
    fitting = [column for column in COLUMNS if column <= degrees]
    return max(fitting) if fitting else None


def ampacity(size: str, material: str, column: int) -> int | None:
    """Give the table's amperes for a size such as `12 AWG`, at the table's own ambient; None where it has none."""
    rows = table("ampacity").rows
    found: int | None = rows["amperes"][rows["metals"][material]].get(size, {}).get(str(column))
    return found


def correction(ambient: Fraction, column: int) -> Fraction | None:
    """Give the factor for an ambient in degrees Celsius; None where the column may not be used there."""
    for row in table("ampacity").rows["correction"]:
        if ambient <= row["to"]:
            return Fraction(str(row[str(column)])) if str(column) in row else None
    return None


@functools.cache
def most_correction() -> Fraction:
    """Give the largest factor for a cool place."""
    return max(
        Fraction(str(row[str(one)]))
        for row in table("ampacity").rows["correction"]
        for one in COLUMNS
        if str(one) in row
    )


def fixture_ampacity(size: str) -> int | None:
    """Give the amperes of a fixture wire; None where the table has none."""
    found: int | None = table("ampacity").rows["fixture_wire"].get(size)
    return found


def least_column(size: str, material: str, amps: float) -> int | None:
    """Give the coolest column in which a conductor carries `amps`; None where no column has it.

    Sizes that stand in the hottest column only tell nothing about a light load: None for them.
    """
    if ampacity(size, material, COLUMNS[0]) is None:
        return None
    for column in COLUMNS:
        found = ampacity(size, material, column)
        if found is not None and found >= amps:
            return column
    return None


@functools.lru_cache(maxsize=4096)
def device_limit(given: Size, material: str, edition: str) -> int | None:
    """Give the largest overcurrent device, in amperes, for a small conductor; None where its size sets no limit.

    A size that the tables do not have is judged by the next smaller one, as by `gauge_of`. That one may stand in the
    list of small conductors only: 14 AWG copper-clad aluminum has a limit and no ampacity.
    """
    rows, small = table("ampacity").rows, table("small-conductors")
    limits = {
        row["size"]: int(row["amps"])
        for row in small.rows["most"]
        if material in row["materials"] and small.has(row, edition)
    }
    names = {*limits, *rows["amperes"][rows["metals"][material]]}
    if given.text in names:
        return limits.get(given.text)
    smaller = [one for one in map(size, names) if one <= given]
    return limits.get(max(smaller).text) if smaller else None


def least_grounding(device_amps: float, material: str) -> str | None:
    """Give the least size of an equipment grounding conductor behind a device; None beyond the table."""
    rows = table("grounding-conductors").rows
    for row in rows["least"]:
        if device_amps <= row["up_to"]:
            return str(row[rows["metals"][material]])
    return None
