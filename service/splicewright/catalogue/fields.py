"""Schema fields for what is written in a listing: quantities, sizes, combinations of conductors, metal, days, cells."""

from __future__ import annotations

import datetime as dt
import math
import re
from abc import abstractmethod
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import product
from typing import Any, TypeVar

from marshmallow import ValidationError, fields

from splicewright.question.vocabulary import CONSTRUCTION, END, MATERIAL
from splicewright.refusals import Says, not_allowed, shown
from splicewright.units import UNITS, Measured, Size, quantity, size

MOST_CONDUCTORS = 24
_MOST_A_LINE = 60
_MOST_CELLS = 5000
_LONGEST_CELL = 100
#: What a listing says of the kinds of conductor that it takes, each with its words.
GROUPS = {"materials": MATERIAL, "constructions": CONSTRUCTION, "ends": END}
#: The one of them to which a word belongs.
GROUP_OF = {word: group for group, words in GROUPS.items() for word in words}
_MESSAGES: dict[str, str] = {
    "required": Says("is required", "missing"),
    "null": Says("may not be null", "wrong-type"),
}
_ID = re.compile(r"[a-z][a-z0-9]*(-[a-z0-9]+)*")
_SPAN = re.compile(r"([1-9][0-9]?) to ([1-9][0-9]?)")
_TORQUE = re.compile(r"([0-9]{1,4}(?:\.[0-9])?) (lbf-in|lbf-ft|N-m)")
_OUTSIDE = re.compile(r"[0-9]{1,4}(?:\.[0-9])?( x [0-9]{1,4}(?:\.[0-9])?){1,2} (mm|in)")
#: Inches as rules and gauges have them: `3/8 in`, `1 1/4 in`, `0.375 in`. A thirty-second is the finest.
_INCHES = re.compile(r"(?:([0-9]{1,3}) )?([1-9][0-9]?)/(2|4|8|16|32) in|([0-9]{1,3}\.[0-9]{2,5}) in")
_METAL = re.compile(r"([0-9]{1,7}(?:\.[0-9]{1,3})?) (mm2|kcmil)|([0-9]{1,7}) (cmil)")
_PART_OF_A_MIL = re.compile(r"([0-9]{1,3}\.[0-9]{1,3}) cmil")
_DAY = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")

T = TypeVar("T")


class WrittenField(fields.Field[T]):
    """A value read from what is written, or refused with what to write. `pattern` is that of its text, if it is one."""

    pattern = ""

    def __init__(self, **kwargs: Any) -> None:
        """Take what every field takes."""
        super().__init__(error_messages=dict(_MESSAGES), **kwargs)

    @abstractmethod
    def read(self, value: object) -> T:
        """Read a value. Raises ValidationError."""

    def _deserialize(self, value: Any, attr: Any, data: Any, **kwargs: Any) -> T:  # noqa: ARG002
        return self.read(value)


class Id(WrittenField[str]):
    """A name in kebab-case."""

    pattern = _ID.pattern

    def read(self, value: object) -> str:
        """Read `twist-on-medium`."""
        if isinstance(value, str) and len(value) <= 60 and _ID.fullmatch(value):
            return value
        raise ValidationError(
            f"{shown(value)} is not a name in kebab-case; write it like twist-on-medium, in at most 60 characters"
        )


class Quantity(WrittenField[Measured]):
    """A quantity of one kind (`volts`, `temperature`, `length`), written with its unit."""

    def __init__(self, kind: str, **kwargs: Any) -> None:
        """Take quantities of `kind` only."""
        self.kind = kind
        units = "|".join(unit for unit, (of, *_) in UNITS.items() if of == kind)
        self.pattern = rf"-?[0-9]{{1,6}}(?:\.[0-9])? (?:{units})"
        if kind == "length":
            self.pattern += f"|{_INCHES.pattern}"
        super().__init__(**kwargs)

    def read(self, value: object) -> Measured:
        """Read `600 V`; of a length also `3/8 in`."""
        match = _INCHES.fullmatch(value) if self.kind == "length" and isinstance(value, str) else None
        if match:
            return Measured(_inches(*match.groups()), "in")
        return _measured(value if isinstance(value, str) else shown(value), self.kind)


def _inches(whole: str | None, parts: str | None, of: str | None, decimal: str | None) -> float:
    if decimal is not None:
        return float(decimal)
    return int(whole or 0) + int(parts or 0) / int(of or 1)  # exact: a power of two divides


def _measured(text: str, kind: str) -> Measured:
    try:
        quantity(text, kind)
    except ValueError as error:
        raise ValidationError(str(error)) from None
    number, _, unit = text.partition(" ")
    return Measured(_number(number), unit)


def _number(text: str) -> float:
    return float(text) if "." in text else int(text)


class TorqueValue(WrittenField[Measured]):
    """A torque, kept in the unit it is written in."""

    pattern = _TORQUE.pattern

    def read(self, value: object) -> Measured:
        """Read `35 lbf-in`, `20 lbf-ft` or `4 N-m`."""
        match = _TORQUE.fullmatch(value) if isinstance(value, str) else None
        if not match:
            raise ValidationError(f"{shown(value)} is not a torque; write it like '35 lbf-in' or '4 N-m'")
        return Measured(_number(match[1]), match[2])


class Outside(WrittenField[list[Measured]]):
    """Outside dimensions, two for a round body and three for another, in one unit."""

    pattern = _OUTSIDE.pattern

    def read(self, value: object) -> list[Measured]:
        """Read `30 x 18 x 18 mm` or `1.2 x 0.7 in`."""
        if not isinstance(value, str) or not _OUTSIDE.fullmatch(value):
            raise ValidationError(f"{shown(value)} is no set of dimensions; write it like '30 x 18 x 18 mm'")
        numbers, _, unit = value.rpartition(" ")
        return [_measured(f"{number} {unit}", "length") for number in numbers.split(" x ")]


class MetalArea(WrittenField[Measured]):
    """A total of conductor metal: square millimetres, or circular mils as the code counts them."""

    pattern = _METAL.pattern

    def read(self, value: object) -> Measured:
        """Read `8.5 mm2`, `16520 cmil` or `16.52 kcmil`."""
        match = _METAL.fullmatch(value) if isinstance(value, str) else None
        number, unit = (one for one in match.groups() if one) if match else ("0", "")
        if not float(number):
            part = _PART_OF_A_MIL.fullmatch(value) if isinstance(value, str) else None
            says = "write it like '8.5 mm2', '16520 cmil' or '16.52 kcmil'"
            if part:  # a point that parts thousands, or the wrong unit: either way as many
                says = f"circular mils have no parts; write {float(part[1]) * 1000:.0f} cmil, if that is meant"
            raise ValidationError(f"{shown(value)} is no amount of metal; {says}")
        return Measured(_number(number), unit)


class Day(WrittenField[str]):
    """A day of the calendar, kept as it is written."""

    pattern = _DAY.pattern

    def read(self, value: object) -> str:
        """Read `2026-11-30`."""
        if isinstance(value, str) and _DAY.fullmatch(value):
            try:
                return dt.date.fromisoformat(value).isoformat()
            except ValueError:
                pass
        raise ValidationError(f"{shown(value)} is no day; write it like 2026-11-30")


class Cells(WrittenField[dict[str, str]]):
    """Where each part of a listing was read from: cells of a table by pointers into the listing."""

    def read(self, value: object) -> dict[str, str]:
        """Read `{"": connectors!5, /volts: connectors!F5}`."""
        if not isinstance(value, Mapping) or len(value) > _MOST_CELLS:
            raise ValidationError(f"must be a map of at most {_MOST_CELLS} pointers to cells")
        for key, cell in value.items():
            if not isinstance(key, str) or (key and not key.startswith("/")):
                raise ValidationError(f"{shown(key)} is no pointer into the listing; write it like /volts")
            if not isinstance(cell, str) or len(cell) > _LONGEST_CELL:
                raise ValidationError(f"{shown(cell)} is no cell; write it like connectors!F5")
        return dict(value)


class Counts(WrittenField[tuple[int, int]]):
    """How many conductors, from the fewest to the most: one number or a span."""

    pattern = _SPAN.pattern

    def read(self, value: object) -> tuple[int, int]:
        """Read `2 to 5`, or `3`."""
        try:
            found = list(_counts(value))
        except ValueError as error:
            raise ValidationError(str(error)) from None
        return found[0], found[-1]


@dataclass(frozen=True, slots=True)
class WrittenEntry:
    """One part of a combination as written: a size, how many, and the words that it says for itself."""

    size: Size
    count: int
    words: Mapping[str, tuple[str, ...]]  # materials, constructions, ends: only those that it names


class Combinations(WrittenField[list[tuple[WrittenEntry, ...]]]):
    """A map of sizes to numbers of conductors; where a number is a span, one combination for each number in it."""

    def read(self, value: object) -> list[tuple[WrittenEntry, ...]]:
        """Read `{12 AWG: 2, 18 AWG fine-stranded: 1}` or `{14 AWG: 2 to 4}`."""
        if not isinstance(value, Mapping) or not value:
            raise ValidationError("must be a map of sizes to numbers of conductors, such as {12 AWG: 2, 14 AWG: 1}")
        wrong: dict[str, list[str]] = {}
        choices: list[list[WrittenEntry]] = []
        for key, count in value.items():
            try:
                of, words = _size_and_words(key)
                choices.append([WrittenEntry(of, number, words) for number in _counts(count)])
            except ValueError as error:
                wrong[key] = [str(error)]
        if not wrong and sum(lines[-1].count for lines in choices) > MOST_CONDUCTORS:
            raise ValidationError(f"has more than {MOST_CONDUCTORS} conductors; a joint has at most that many")
        if wrong:
            raise ValidationError(dict(wrong))
        if math.prod(map(len, choices)) > _MOST_A_LINE:
            raise ValidationError(f"stands for more than {_MOST_A_LINE} combinations; write several lines")
        return list(product(*choices))


def _size_and_words(text: str) -> tuple[Size, dict[str, tuple[str, ...]]]:
    number, _, rest = text.partition(" ")
    unit, *words = rest.split(" ")
    named: dict[str, list[str]] = {}
    for word in words:
        if word not in GROUP_OF:
            raise ValueError(not_allowed(word, GROUP_OF))
        named.setdefault(GROUP_OF[word], []).append(word)
    return size(f"{number} {unit}".strip()), {group: tuple(sorted(some)) for group, some in named.items()}


def _counts(value: object) -> Iterator[int]:
    if isinstance(value, int) and not isinstance(value, bool) and 1 <= value <= MOST_CONDUCTORS:
        yield value
        return
    match = _SPAN.fullmatch(value) if isinstance(value, str) else None
    if not match:
        raise ValueError(
            f"{shown(value)} is no number of conductors; write 1 to {MOST_CONDUCTORS}, or a span like 2 to 4"
        )
    first, last = int(match[1]), int(match[2])
    if last > MOST_CONDUCTORS:
        raise ValueError(f"{value} is beyond {MOST_CONDUCTORS} conductors; a joint has at most that many")
    if first >= last:
        raise ValueError(f"the span {value} does not go up; write {last} to {first}, or one number")
    yield from range(first, last + 1)
