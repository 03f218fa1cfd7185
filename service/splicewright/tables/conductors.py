"""Figures of conductors: ampacity, insulation, colors, the overcurrent devices ahead of them, the cover over them.

Ampacity is corrected for the place's temperature. What is asked for a code is a code edition such as `nfpa70-2023`.
"""

from __future__ import annotations

import functools
import math
from bisect import bisect_left
from fractions import Fraction
from typing import Any, NamedTuple

from splicewright.codes import edition_of
from splicewright.tables.loader import table
from splicewright.units import Size, size

# --- ampacity ------------------------------------------------------------------------------------

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


@functools.lru_cache(maxsize=256)
def adjustment(together: int | None) -> Fraction:
    """Give the factor for so many current-carrying conductors that lie together; 1 where it is not known."""
    rows = table("ampacity").rows["adjustment"]
    found = next(row for row in rows if together is None or together <= row.get("to", together))
    return Fraction(found["percent"], 100)


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
def device_limit(given: Size, material: str, code: str) -> int | None:
    """Give the largest overcurrent device, in amperes, for a small conductor; None where its size sets no limit.

    A size that the tables do not have is judged by the next smaller one, as by `gauge_of`. That one may stand in the
    list of small conductors only: 14 AWG copper-clad aluminum has a limit and no ampacity.
    """
    rows, limits = table("ampacity").rows, _small_conductors(code)[material]
    names = {*limits, *rows["amperes"][rows["metals"][material]]}
    if given.text in names:
        return limits.get(given.text)
    smaller = [one for one in map(size, names) if one <= given]
    return limits.get(max(smaller).text) if smaller else None


@functools.cache
def _small_conductors(code: str) -> dict[str, dict[str, int]]:
    """Give the amperes that small conductors may be protected by, by their metal and size."""
    small, edition = table("small-conductors"), edition_of(code)
    rows = [row for row in small.rows["most"] if small.has(row, edition)]
    return {
        metal: {row["size"]: int(row["amps"]) for row in rows if metal in row["materials"]}
        for metal in table("ampacity").rows["metals"]
    }


def least_grounding(device_amps: float, material: str) -> str | None:
    """Give the least size of an equipment grounding conductor behind a device; None beyond the table."""
    rows = table("grounding-conductors").rows
    for row in rows["least"]:
        if device_amps <= row["up_to"]:
            return str(row[rows["metals"][material]])
    return None


# --- overcurrent devices -------------------------------------------------------------------------


@functools.cache
def standard_ratings(code: str) -> tuple[int, ...]:
    """Give the standard ratings in amperes, the least first. Source: rulesets/tables/standard-devices.yaml."""
    devices, edition = table("standard-devices"), edition_of(code)
    rows = [row for row in devices.rows["ratings"] if devices.has(row, edition)]
    return tuple(sorted({amps for row in rows for amps in range(row["from"], row["to"] + 1, row["step"])}))


def largest_device(amperes: Fraction, code: str) -> Fraction:
    """Give the largest device for an ampacity: the next standard rating, or beyond a bound the ampacity itself.

    None may stand ahead of what carries nothing.
    """
    if amperes <= 0:
        return Fraction(0)
    bound, ratings = table("standard-devices").rows["next_up_to"], standard_ratings(code)
    following = bisect_left(ratings, math.ceil(amperes))
    return Fraction(ratings[following]) if following < len(ratings) and ratings[following] <= bound else amperes


def whole_dwelling(amperes: Fraction, code: str, volts: float | None, **words: str) -> Fraction:
    """Give the largest rating for the feeder of a whole dwelling by its conductors' ampacity; 0 where there is none.

    `words` are the circuit's `kind` and `current`.
    """
    row = table("standard-devices").rows["dwelling"]
    if volts is None or volts > row["volts_at_most"] or any(row[key] != word for key, word in words.items()):
        return Fraction(0)
    ratings = [rating for rating in standard_ratings(code) if row["from"] <= rating <= row["to"]]
    return Fraction(max((rating for rating in ratings if rating * row["percent"] <= amperes * 100), default=0))


def largest_machine_device(amperes: Fraction, machines: str) -> Fraction:
    """Give the most that a device of `motors` or `compressors` may be, whose conductors carry so much at terminals."""
    rows = table("standard-devices").rows[machines]
    return amperes * Fraction(rows["device_at_most"], rows["conductors_at_least"])


@functools.lru_cache(maxsize=1024)
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


# --- insulation and colors -----------------------------------------------------------------------


class Insulation(NamedTuple):
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


def grounding_color(role: str) -> str | None:
    """Give the color of a grounding role, in words; None for other roles, whose colors are not told here."""
    found = table("grounding-colors").rows["colors"].get(role)
    return None if found is None else str(found)


def grounding_color_source(code: str) -> dict[str, Any] | None:
    """Give what the colors rest on in a code edition; None where they were not read for it."""
    found = table("grounding-colors")
    return found.cited(code) if found.holds_for(code) else None


# --- cover over buried wiring, of rulesets/tables/cover.yaml -------------------------------------


class Run(NamedTuple):
    """A run of wiring in the ground, as far as the table asks. Numbers that were not stated are None."""

    cover: str
    wiring: str
    dwelling: bool
    kind: str
    gfci: bool
    volts: float | None
    overcurrent_amps: float | None


def required_cover(run: Run, unit: str = "in") -> int:
    """Give the cover that the table asks for, in the table's own figures for `unit` (`in` or `mm`).

    The column follows from the wiring method; where a lighter column's conditions are met too, the lesser
    depth holds. A number that was not stated meets no condition.
    """
    return _least(run, unit, unstated=False)


def least_cover(run: Run, unit: str = "in") -> int:
    """Give the cover that the table would ask for if each number not stated met a lighter column's limit."""
    return _least(run, unit, unstated=True)


def _least(run: Run, unit: str, *, unstated: bool) -> int:
    rows = table("cover").rows
    row: dict[str, int] = rows[unit][run.cover]
    return min(row[column] for column, needs in rows["columns"].items() if _meets(run, needs, unstated=unstated))


_LIMITED = {"volts_at_most": "volts", "overcurrent_at_most": "overcurrent_amps"}


def _meets(run: Run, needs: dict[str, Any], *, unstated: bool) -> bool:
    for key, wanted in needs.items():
        if key in _LIMITED:
            given = getattr(run, _LIMITED[key])
            good = unstated if given is None else given <= wanted
        else:
            word = getattr(run, key)
            good = word in wanted if isinstance(wanted, list) else word == wanted
        if not good:
            return False
    return True
