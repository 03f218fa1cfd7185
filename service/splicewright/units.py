"""Conductor sizes and quantities, in whole numbers so that nothing is rounded across a limit; and numbers in words.

Areas are square micrometres, lengths micrometres, volts and amperes tenths, temperatures ninetieths of a
degree Celsius (in which tenths of a degree of both scales are whole numbers).
"""

from __future__ import annotations

import functools
import math
import re
from dataclasses import dataclass, field
from decimal import Decimal
from fractions import Fraction
from typing import Any, Literal

_SIZE = re.compile(r"([1-4]/0|[1-9][0-9]?) AWG|([1-9][0-9]{1,3}) kcmil|((?:0|[1-9][0-9]{0,3})(?:\.[0-9]{1,2})?) mm2")
# These two are made when a text is no size.
_SLOPPY = (
    r"(?ai)(#|no\.?|awg)?\s*([1-4]/0|[0-9]{1,4}(?:\.[0-9]{1,2})?)\s*-?\s*"
    r"(awg|ga(?:uge)?\.?|mcm|kcmil|mm2|mm²|sq\.?\s*mm)?"
)
_CABLE = r"#?([1-9][0-9]?)\s*[/-]\s*([2-9])\b.{0,20}"
_LONGEST_SLOPPY = 40  # characters: a longer text is no size, and not worth trying its blanks in every way
_UNIT_WORDS = {"mcm": "kcmil", "kcmil": "kcmil", "mm2": "mm2", "mm²": "mm2"}
#: what a total of conductor metal is listed in -> (in what it is summed, how many of that are one)
METAL_UNITS = {"mm2": ("mm2", 1), "cmil": ("cmil", 1), "kcmil": ("cmil", 1000)}
MM2_PER_KCMIL = Fraction(5067074790975, 10**13)  # pi/4 * 0.0254**2 * 1000, to 13 places


@dataclass(frozen=True, slots=True, order=True)
class Size:
    """A conductor's nominal size. Sizes compare by area (µm²), whatever the system they are written in."""

    area: int
    text: str = field(compare=False)
    system: Literal["awg", "metric"] = field(compare=False)

    def __str__(self) -> str:
        """Give the canonical text, such as `12 AWG`."""
        return self.text

    def to_dict(self) -> dict[str, str]:
        """Give it as an answer writes it: `{value: "4/0", unit: "AWG"}`, the value always text."""
        value, unit = self.text.split(" ")
        return {"value": value, "unit": unit}


def gauge_diameter(number: int) -> float:
    """Give the diameter in inches of AWG `number` (0, -1, -2, -3 for 1/0 to 4/0). Source: ASTM B258."""
    return float(0.005 * 92 ** ((36 - number) / 39))


@functools.lru_cache(maxsize=1024)
def size(text: str) -> Size:
    """Read `12 AWG`, `4/0 AWG`, `250 kcmil` or `2.5 mm2`. Raises ValueError, saying what to write."""
    match = _SIZE.fullmatch(text)
    if not match:
        raise ValueError(_size_advice(text))
    return _size(*match.groups())


def _size(gauge: str | None, kcmil: str | None, metric: str | None) -> Size:
    if gauge:
        aught, _, zero = gauge.partition("/")
        number = 1 - int(aught) if zero else int(aught)
        if number > 40:
            raise ValueError(f"{gauge} AWG is not a size; AWG runs from 40 to 1, then 1/0 to 4/0")
        diameter = gauge_diameter(number) * 25.4
        return Size(round(math.pi / 4 * diameter**2 * 1e6), f"{gauge} AWG", "awg")
    if kcmil:
        if not 212 <= int(kcmil) <= 2500:
            raise ValueError(f"{kcmil} kcmil is not a size; kcmil begins above 4/0 AWG and ends at 2500 kcmil")
        return Size(round(int(kcmil) * MM2_PER_KCMIL * 10**6), f"{kcmil} kcmil", "awg")
    area = Decimal(str(metric))
    if not Decimal("0.05") <= area <= 2500:
        raise ValueError(f"{metric} mm2 is not a size; mm2 runs from 0.05 to 2500")
    plain = format(area.normalize(), "f")
    return Size(int(area * 10**6), f"{plain} mm2", "metric")


def _size_advice(text: str) -> str:
    given = repr(text[:30])
    unit, guesses = _sloppy(text)
    if guesses:
        fault = "is not written as a size; did you mean" if unit else "has no unit; write"
        return f"{given} {fault} {' or '.join(map(repr, guesses))}{'?' if unit else ''}"
    return cable_told(text) or f"{given} is not a size; write it like '12 AWG', '250 kcmil' or '2.5 mm2'"


def cable_told(text: str) -> str:
    """Tell what to write for a cable, such as `12/2 NM`; empty for what is none."""
    cable = None if _sloppy(text)[1] else re.fullmatch(_CABLE, text.strip()[:_LONGEST_SLOPPY])
    if cable is None or not _is_size(one := f"{cable[1]} AWG"):
        return ""
    return f"{text[:30]!r} is a cable; write each of its conductors that enters, with size {one!r}, cable and role"


def size_meant(text: str) -> str | None:
    """Give the one size that `#12`, `12ga` or `250 MCM` means, as it is to be written; None for a bare number."""
    unit, guesses = _sloppy(text)
    return guesses[0] if len(guesses) == 1 and (unit or "/" in guesses[0]) else None


def sizes_meant(text: str) -> list[str]:
    """Give the sizes that a text may mean, as they are to be written: of `12` one for each unit that has it."""
    return _sloppy(text)[1]


def _sloppy(text: str) -> tuple[str | None, list[str]]:
    """Give the unit of what is perhaps a size, and the sizes that it may mean."""
    match = re.fullmatch(_SLOPPY, text.strip()) if len(text) <= _LONGEST_SLOPPY else None
    if not match:
        return None, []
    before, number, after = match.groups()
    unit = after or ("awg" if before else None)
    aught = f"{len(number)}/0" if set(number) == {"0"} else number  # 000 is an old way to write 3/0
    return unit, [size for size in (f"{aught} {word}" for word in _meant(unit)) if _is_size(size)]


def _meant(unit: str | None) -> tuple[str, ...]:
    if not unit:
        return ("AWG", "kcmil", "mm2")
    unit = unit.lower()
    return (_UNIT_WORDS.get(unit, "mm2" if unit.startswith("sq") else "AWG"),)


def _is_size(text: str) -> bool:
    match = _SIZE.fullmatch(text)
    try:
        return bool(match and _size(*match.groups()))
    except ValueError:
        return False


def gauge_steps(small: Size, large: Size) -> int:
    """Count the AWG steps from one size up to another, rounded up to a whole step; 0 where equal."""
    ratio = math.log(large.area / small.area) * 39 / (2 * math.log(92))
    return max(0, math.ceil(ratio - 0.01))


@functools.cache
def _gauge_names() -> dict[int, str]:
    names = [f"{number} AWG" for number in range(1, 41)] + [f"{aught}/0 AWG" for aught in range(1, 5)]
    return {size(name).area: name for name in names}


def gauge_name(area: int) -> str:
    """Give the AWG or kcmil size of an area in µm². Raises KeyError where no size has it."""
    found = _gauge_names().get(area)
    if found is None:
        kcmil = round(area / 10**6 / MM2_PER_KCMIL)
        found = f"{kcmil} kcmil"
        if not _is_size(found) or size(found).area != area:
            raise KeyError(area)
    return found


def size_name(area: int) -> str:
    """Give the size of an area in µm²: by gauge or kcmil where some size has it, else in mm2."""
    try:
        return gauge_name(area)
    except KeyError:
        return f"{plain(area / 10**6)} mm2"


# --- quantities ---------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Measured:
    """A number with its unit, as given."""

    value: float
    unit: str

    def __str__(self) -> str:
        """Give it as printed: `24 in`."""
        return f"{self.value:g} {self.unit}"

    def to_dict(self) -> dict[str, Any]:
        """Give it as an answer writes it: `{value: 24, unit: "in"}`."""
        return {"value": self.value, "unit": self.unit}


#: unit word of the contract -> (kind, base units in one, how many of them are zero base units); the first of a kind is
#: the one printed. A test holds them against a units library.
UNITS: dict[str, tuple[str, int, int]] = {
    "in": ("length", 25_400, 0),
    "ft": ("length", 304_800, 0),
    "mm": ("length", 1_000, 0),
    "degC": ("temperature", 90, 0),
    "degF": ("temperature", 50, 32),
    "V": ("volts", 10, 0),
    "A": ("amps", 10, 0),
}


@functools.lru_cache(maxsize=4096)
def whole(value: float | Fraction, unit: str) -> int:
    """Convert a number with one decimal to whole base units. Raises ValueError where it comes to none."""
    _, base_units, zero = UNITS[unit]
    result = ((value if isinstance(value, Fraction) else Fraction(str(value))) - zero) * base_units
    if result.denominator != 1:
        raise ValueError(f"{value} {unit} is finer than one decimal")
    return int(result)


#: What a finished joint is measured in: micrometres or newton metres in one of a unit, exactly. An inch is 25.4 mm, a
#: pound 0.45359237 kg and standard gravity 9.80665 m/s2; a test holds these against a units library too.
_NEWTON_METRES = Fraction("0.45359237") * Fraction("9.80665") * Fraction("0.0254")
_EXACT = {
    "mm": Fraction(1000),
    "cm": Fraction(10_000),
    "in": Fraction(25_400),
    "N-m": Fraction(1),
    "lbf-in": _NEWTON_METRES,
    "lbf-ft": _NEWTON_METRES * 12,
}


def exact(value: float, unit: str) -> Fraction:
    """Give what was measured on a joint as an exact number of micrometres or newton metres. Raises KeyError."""
    return Fraction(str(value)) * _EXACT[unit]


_QUANTITY = re.compile(r"(-?[0-9]{1,6}(?:\.[0-9])?) ([A-Za-z]+)")
_BEYOND = re.compile(r"-?[0-9]+(?:\.[0-9]+)? ([A-Za-z]+)")  # a number that is larger, or finer
_OF_KIND = {"volts": "a number of volts", "amps": "a number of amperes"}


@functools.lru_cache(maxsize=1024)
def quantity(text: str, kind: str) -> int:
    """Read `24 in` or `30 degC`, of a kind (`length`, `temperature`), into base units. Raises ValueError."""
    match = _QUANTITY.fullmatch(text)
    allowed = [word for word, (of, *_) in UNITS.items() if of == kind]
    if not match and (beyond := _BEYOND.fullmatch(text)) and beyond[1] in allowed:
        raise ValueError(f"{text[:30]!r} is not from -999999.9 to 999999.9 {beyond[1]} with at most one decimal")
    if not match or match[2] not in allowed:
        what = _OF_KIND.get(kind, f"a {kind}")
        raise ValueError(f"{text[:30]!r} is not {what}; write a number, a space and one of: {', '.join(allowed)}")
    return whole(Fraction(match[1]), match[2])


_PRINTED_IN = {"volts": "V", "temperature": "degC", "length": "mm", "amps": "A"}


def coded_text(kind: str, value: Any) -> Any:
    """Give what is kept in base units in words: `600 V`, `105 degC`, a size. What is of no such kind stays as it is."""
    if kind == "size":
        return size_name(int(value))
    unit = _PRINTED_IN.get(kind)
    return value if unit is None else f"{plain(_number_of(value, unit))} {unit}"


def coded_plain(kind: str, value: Any) -> Any:
    """Give it as answers write it: `{value: 600, unit: V}`, a size likewise."""
    if kind == "size":
        return size(size_name(int(value))).to_dict()
    unit = _PRINTED_IN.get(kind)
    if unit is None:
        return value
    number = _number_of(value, unit)
    return {"value": int(number) if number == int(number) else number, "unit": unit}


def _number_of(value: int, unit: str) -> float:
    return round(float(Fraction(int(value), whole(1, unit))), 1)


def plain(value: float) -> str:
    """Write a number without a needless decimal: 120, 12.5."""
    return str(int(value)) if value == int(value) else str(value)


def counted(number: int, noun: str) -> str:
    """Write how many there are of a thing: `1 box`, `2 boxes`, `1,200 entries`."""
    return f"{number:,} {noun if number == 1 else plural(noun)}"


def plural(noun: str) -> str:
    """Write a noun for more than one: `entries` of `entry`."""
    if noun.endswith("y"):
        return f"{noun[:-1]}ies"
    return f"{noun}es" if noun.endswith("x") else f"{noun}s"
