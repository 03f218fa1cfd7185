"""One cell of a shelf's table to what a catalogue file writes: tolerant of case and space, never of meaning.

What comes out is held against the catalogue's own field for it, so that each cell that is wrong is told.
"""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Callable, Mapping
from fractions import Fraction
from typing import Any

from marshmallow import ValidationError

from splicewright.catalogue.fields import Day, Id, MetalArea, Outside, Quantity, TorqueValue, WrittenField
from splicewright.catalogue.schema import FIGURES
from splicewright.refusals import not_allowed, shown
from splicewright.sheets.cells import (
    SIZE_UNITS,
    UnreadableCell,
    day_in_text,
    known_word,
    parted,
    read_day,
    read_flag,
    without_mark,
)
from splicewright.sheets.table import Unusable
from splicewright.shelf.layout import CONNECTORS, CellKind, Column
from splicewright.shelf.number_signs import as_written, refuse_commas, refuse_doubtful_points
from splicewright.units import size, size_meant

_TEXTS = ("text", "label", "id")  # kinds of which any text may be meant
_NUMBERS = ("whole", "number", "volts", "amps", "temperature", "length", "torque", "outside", "metal")
_SERIAL = re.compile("[0-9]{5}")
_DAY_0 = dt.date(1899, 12, 30)  # of which spreadsheet programs count days, most of them
_EXACT = 2**53  # whole numbers up to here are exact in a workbook
_FAR = 1e300
_NUMBER = r"[0-9]{1,9}(?:\.[0-9]{1,9})?"
_MEASURED = re.compile(rf"((?:[0-9]{{1,4}}[ -])?[0-9]{{1,2}}/[1-9][0-9]?|{_NUMBER})(?: ?([^\s0-9.,/-].*))?")
_BETWEEN = re.compile(
    r"\s+(?:to|through|thru)\s+|\s*(?:[\u2013\u2026]|\.{2,3})\s*|(?<=[0-9A-Za-z])\s*-\s*(?=[0-9])", re.IGNORECASE
)
_TIMES = re.compile(r"\s*[x\u00d7*]\s*", re.IGNORECASE)
_NOT_IN_A_NAME = re.compile("[^a-z0-9]+")
_NAME = re.compile("[a-z][a-z0-9-]*")
_LENGTHS: Mapping[str, tuple[str, Fraction]] = {
    **dict.fromkeys(("in", "in.", "inch", "inches", '"', "”"), ("in", Fraction(1))),
    "mm": ("mm", Fraction(1)),
    "cm": ("mm", Fraction(10)),
}
#: Whatever stands between the two of them, and whichever is first.
_TORQUES = {
    **dict.fromkeys(
        ("lbf in", "in lbf", "lb in", "in lb", "lbs in", "in lbs", "inch pounds", "pound inches"), "lbf-in"
    ),
    **dict.fromkeys(("lbf ft", "ft lbf", "lb ft", "ft lb", "lbs ft", "ft lbs", "foot pounds", "pound feet"), "lbf-ft"),
    **dict.fromkeys(("n m", "nm"), "N-m"),
}
_JOINED = re.compile(r"[\s.\u00b7*-]+")
_VOLTS = dict.fromkeys(("v", "volt", "volts"), "V")
_AMPS = dict.fromkeys(("a", "amp", "amps", "ampere", "amperes"), "A")
_DEGREES = {
    **dict.fromkeys(("degc", "°c", "c", "deg c", "℃"), "degC"),
    **dict.fromkeys(("degf", "°f", "f", "deg f", "℉"), "degF"),
}
_SAYS_NOTHING = frozenset(("-", "--", "\u2013", "\u2014", "?", "n/a", "n.a.", "unknown"))
_METAL = {"mm2": "mm2", "mm²": "mm2", "cmil": "cmil", "kcmil": "kcmil"}


def read_cell(column: Column, value: Any, *, csv: bool = False) -> Any:
    """Read a cell that is not blank into what a catalogue file writes. Raises `UnreadableCell`.

    `csv`: an apostrophe that keeps text from being a formula is taken off. Its table knows what a point parts, where
    no comma parts the cells; text of a workbook may be pasted from anywhere.
    """
    if isinstance(value, Unusable):
        raise UnreadableCell(value.says)
    if isinstance(value, dt.date | dt.time | dt.timedelta):
        return _from_day(column, value)
    if isinstance(value, bool):
        if column.kind != "flag":
            raise UnreadableCell(f"is {str(value).lower()}, which is no {column.heading}; write it {_like(column)}")
        return value
    if isinstance(value, int | float):
        return _from_number(column, value)
    text = " ".join(str(value).split())
    if csv:
        return _from_text(column, without_mark(text))
    if column.kind in _NUMBERS:
        refuse_doubtful_points(text)
    return _from_text(column, text)


def _from_text(column: Column, text: str) -> Any:
    if text.casefold() in _SAYS_NOTHING and column.kind not in (*_TEXTS, "value"):
        raise UnreadableCell(f"{shown(text)} says nothing; leave the cell blank where the carton does not say")
    found = _FROM_TEXT[column.kind](column, text)
    if (field := _FIELDS.get(column.kind)) is not None:
        try:
            field.read(found)
        except ValidationError as error:
            raise UnreadableCell(str(error.messages[0])) from None
    return found


def _from_number(column: Column, value: float) -> Any:
    if not abs(value) < _FAR:
        raise UnreadableCell("is no number that can be meant")
    number: int | float = int(value) if value == int(value) else value
    if column.kind in ("whole", "number"):
        return _counting(column, number, str(number))
    if column.kind in _TEXTS:
        if not isinstance(number, int) or abs(number) >= _EXACT:
            raise UnreadableCell(f"is the number {number}; format the cell as text, so that no digit is lost")
        return str(number)
    return _from_text(column, str(number))  # which tells what its column takes


def _from_day(column: Column, value: dt.date | dt.time | dt.timedelta) -> str:
    try:
        return read_day(column.kind, value)
    except UnreadableCell as error:
        raise UnreadableCell(f"{error}, {_like(column)}") from None


def _like(column: Column) -> str:
    """Tell how a cell of a column is written."""
    return f"like {' or '.join(list(column.words)[:2])}" if column.words else column.written or "as text"


def _number(column: Column, text: str) -> Any:
    refuse_commas(text)
    if not re.fullmatch(_NUMBER, text):
        alone = text.strip("$\u20ac\u00a3 ")
        write = alone if re.fullmatch(_NUMBER, alone) else _UNITLESS[column.kind]
        raise UnreadableCell(f"{shown(text)} is not a number; write {write}")
    value = float(text)
    return _counting(column, int(value) if value == int(value) else value, text)


def _counting(column: Column, number: float, written: str) -> float:
    """Refuse parts of a number in a column of whole ones."""
    if column.kind == "whole" and not isinstance(number, int):
        raise UnreadableCell(f"{written} is not a whole number; write {_UNITLESS[column.kind]}")
    return number


_UNITLESS = {"whole": "a whole number, such as 3", "number": "a number, such as 12.5"}


def _measured(units: Mapping[str, str]) -> Callable[[Column, str], str]:
    """Read a number with one of some units, whatever way they are written."""

    def read(column: Column, text: str) -> str:
        number, unit = _parts(column, text)
        return f"{number} {_unit(unit, units)}"

    return read


def _metal(column: Column, text: str) -> str:
    return as_written(_measured(_METAL)(column, text))


def _parts(column: Column, text: str) -> tuple[str, str]:
    refuse_commas(text)
    match = _MEASURED.fullmatch(text)
    if not match:
        raise UnreadableCell(f"{shown(text)} is no {column.heading}; write it {column.written}")
    if not match[2]:
        raise UnreadableCell(f"{text} has no unit; write it {column.written}")
    return match[1].replace("-", " "), match[2]


def _unit(text: str, units: Mapping[str, str]) -> str:
    found = units.get(_JOINED.sub(" ", text.casefold()).strip())
    if found is None:
        use = " or ".join(dict.fromkeys(units.values()))
        raise UnreadableCell(f"the unit {shown(text)} is not known here; use {use}")
    return found


def _length(column: Column, text: str) -> str:
    number, unit = _parts(column, text)
    found = _LENGTHS.get(unit.casefold())
    if found is None:
        raise UnreadableCell(f"the unit {shown(unit)} is not known here; use in, mm or cm")
    to, times = found
    if times == 1:
        return f"{number} {to}"
    if "/" in number:
        raise UnreadableCell(f"{shown(text)}: fractions are for inches; write a decimal number of {unit}")
    return f"{_decimal(Fraction(number) * times)} {to}"


def _decimal(value: Fraction) -> str:
    return str(int(value)) if value.denominator == 1 else format(float(value), "f").rstrip("0")


def _outside(column: Column, text: str) -> str:
    refuse_commas(text)
    *first, last = _TIMES.split(text)
    number, unit = _parts(column, last)
    to, times = _LENGTHS.get(unit.casefold(), ("", Fraction(1)))
    if not to or any("/" in one for one in (*first, number)):
        raise UnreadableCell(f"{shown(text)} is no set of dimensions; write it {column.written}")
    if times == 1:
        return f"{' x '.join([*first, number])} {to}"
    try:
        return f"{' x '.join(_decimal(Fraction(one) * times) for one in (*first, number))} {to}"
    except ValueError:
        raise UnreadableCell(f"{shown(text)} is no set of dimensions") from None


def _size(_column: Column, text: str) -> str:
    refuse_commas(text)
    number, _, unit = text.partition(" ")
    written = f"{number} {SIZE_UNITS.get(unit.casefold(), unit)}" if unit else text
    try:
        return str(size(written))
    except ValueError as error:
        if meant := size_meant(written):  # `12AWG`, `#18`
            return str(size(meant))
        raise UnreadableCell(str(error)) from None


def _sizes(column: Column, text: str) -> dict[str, str]:
    least, *most = _BETWEEN.split(text)
    if len(most) > 1:
        raise UnreadableCell(f"{shown(text)} is no range of sizes; write it like 18 AWG to 12 AWG")
    ends = [least, *(most or [least])]
    if _bare(ends[0]) and not _bare(ends[1]):  # `20 to 12 AWG`: one unit for both
        ends[0] = f"{ends[0]} {_size(column, ends[1]).partition(' ')[2]}"
    found = [_size(column, one) for one in ends]
    return {"from": found[0], "to": found[1]}


def _bare(number: str) -> bool:
    return number.replace(".", "").isdecimal()


def _id(_column: Column, text: str) -> str:
    meant = _NOT_IN_A_NAME.sub("-", text.casefold()).strip("-")
    if meant != text and _NAME.fullmatch(meant):
        says = f"{shown(text)} is not a name in kebab-case; did you mean {meant!r}? Use it on every sheet"
        raise UnreadableCell(says, meant)
    return text


def _flag(_column: Column, text: str) -> bool:
    return read_flag(text, "; leave it blank where the carton does not say")


def _word(column: Column, text: str) -> str:
    found = known_word(text, column.words)
    if found is None:
        raise UnreadableCell(not_allowed(text, column.words))
    return found


def _words(column: Column, text: str) -> list[str]:
    if text.casefold() == "none":
        return []
    found = [_word(column, one) for one in parted(text)]
    if len(set(found)) != len(found):
        raise UnreadableCell("names a word twice")
    return found


def _text(_column: Column, text: str) -> str:
    return text


def _day(_column: Column, text: str) -> str:
    if _SERIAL.fullmatch(text):
        meant = _DAY_0 + dt.timedelta(int(text))
        says = f"{text} is a number, by which a spreadsheet keeps a day; format the cell as a date, or write {meant}"
        raise UnreadableCell(f"{says}, if that is meant")
    return day_in_text(text)


def read_figure(figure: str, column: Column, value: Any, *, csv: bool = False) -> Any:
    """Read the value of a figure as a cell of its kind."""
    kind = _KIND_OF_FIGURE.get(figure)
    if kind is None:
        return None  # which figure is meant is told beside it
    return read_cell(Column(figure, "value", kind, column.about), value, csv=csv)


#: The catalogue's own fields for what was read.
_FIELDS: Mapping[CellKind, WrittenField[Any]] = {
    "id": Id(),
    "volts": Quantity("volts"),
    "temperature": Quantity("temperature"),
    "amps": Quantity("amps"),
    "length": Quantity("length"),
    "torque": TorqueValue(),
    "outside": Outside(),
    "metal": MetalArea(),
    "day": Day(),
}
#: A figure of its own is read as the one for all conductors.
_KIND_OF_FIGURE = {column.key: column.kind for column in CONNECTORS.columns if column.key in FIGURES}
_FROM_TEXT: Mapping[CellKind, Callable[[Column, str], Any]] = {
    "id": _id,
    "text": _text,
    "label": _text,
    "day": _day,
    "value": _text,
    "word": _word,
    "figure": _word,
    "words": _words,
    "flag": _flag,
    "whole": _number,
    "number": _number,
    "volts": _measured(_VOLTS),
    "amps": _measured(_AMPS),
    "temperature": _measured(_DEGREES),
    "torque": _measured(_TORQUES),
    "metal": _metal,
    "length": _length,
    "outside": _outside,
    "size": _size,
    "sizes": _sizes,
}
