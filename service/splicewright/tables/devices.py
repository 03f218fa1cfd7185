"""Standard ratings of overcurrent devices, and the largest that a conductor may have ahead of it."""

from __future__ import annotations

import functools
from fractions import Fraction

from splicewright.tables.ampacity import gauge_of
from splicewright.tables.loader import table
from splicewright.units import Size


@functools.cache
def standard_ratings(edition: str) -> tuple[int, ...]:
    """Give the standard ratings in amperes, the least first. Source: rulesets/tables/standard-devices.yaml."""
    devices = table("standard-devices")
    rows = [row for row in devices.rows["ratings"] if devices.has(row, edition)]
    return tuple(sorted({amps for row in rows for amps in range(row["from"], row["to"] + 1, row["step"])}))


def largest_device(amperes: Fraction, edition: str) -> Fraction:
    """Give the largest device for an ampacity: the next standard rating, or beyond a bound the ampacity itself.

    None may stand ahead of what carries nothing.
    """
    if amperes <= 0:
        return Fraction(0)
    bound = table("standard-devices").rows["next_up_to"]
    following = next((rating for rating in standard_ratings(edition) if rating >= amperes), None)
    return Fraction(following) if following is not None and following <= bound else amperes


def whole_dwelling(amperes: Fraction, edition: str, volts: float | None, **words: str) -> Fraction:
    """Give the largest rating for the feeder of a whole dwelling by its conductors' ampacity; 0 where there is none.

    `words` are the circuit's `kind` and `current`.
    """
    row = table("standard-devices").rows["dwelling"]
    if volts is None or volts > row["volts_at_most"] or any(row[key] != word for key, word in words.items()):
        return Fraction(0)
    ratings = [rating for rating in standard_ratings(edition) if row["from"] <= rating <= row["to"]]
    return Fraction(max((rating for rating in ratings if rating * row["percent"] <= amperes * 100), default=0))


def largest_machine_device(amperes: Fraction, machines: str) -> Fraction:
    """Give the most that a device of `motors` or `compressors` may be, whose conductors carry so much at terminals."""
    rows = table("standard-devices").rows[machines]
    return amperes * Fraction(rows["device_at_most"], rows["conductors_at_least"])


def terminal_column(device_amps: float | None = None) -> int:
    """Give the column of equipment terminals: of the best marked ones, or unmarked ones of a device's rating."""
    rows: dict[str, int] = table("standard-devices").rows["terminals"]
    unmarked = device_amps is not None and device_amps <= rows["unmarked_up_to"]
    return rows["unmarked" if unmarked else "marked"]


def as_continuous(amperes: Fraction) -> Fraction:
    """Give what a load of three hours or more counts for."""
    return amperes * Fraction(table("standard-devices").rows["continuous_percent"], 100)


def least_range_neutral(device_amps: Fraction) -> Fraction:
    """Give the least that the neutral of a household range carries behind a device."""
    return device_amps * Fraction(table("standard-devices").rows["range_neutral_percent"], 100)


def largest_control_device(given: Size, material: str) -> int | None:
    """Give the largest device ahead of a motor's control conductor; None where it is too small for the table.

    Source: rulesets/tables/control-conductors.yaml.
    """
    rows = table("control-conductors").rows
    gauge = gauge_of(given, material)
    if gauge is None:
        return None
    for row in rows["most"]:
        if row["size"] == gauge:
            found: int | None = row.get(material)
            return found
    amps = rows["free_air_60"].get(gauge, {}).get(rows["metals"][material])
    return None if amps is None else int(amps) * int(rows["larger_percent"]) // 100
