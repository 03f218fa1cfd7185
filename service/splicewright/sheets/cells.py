"""One cell to one value of a question: tolerant of case and space, never of meaning.

A word that is not known is given back as it stands, for the question's own reader to refuse with the nearest word.
"""

from __future__ import annotations

import datetime as dt
import functools
import re
from collections.abc import Callable, Iterable, Mapping
from typing import Any

from splicewright.question.amounts import several_told
from splicewright.refusals import shown
from splicewright.sheets.columns import Column, Kind, columns
from splicewright.sheets.table import Unusable

_NUMBER = r"[-+]?(?:[0-9]{1,12}(?:\.[0-9]{1,12})?|\.[0-9]{1,12})"
_FRACTION = re.compile(r"(?:([0-9]{1,4})[ -])?([0-9]{1,2})/([1-9][0-9]?) ?([^\s0-9.,].*)")
_MEASURED = re.compile(rf"({_NUMBER}) ?([^\s0-9.,].*)?")
_THOUSANDS = re.compile(r"([-+]?[0-9]{1,3}(?:,[0-9]{3})+(?:\.[0-9]+)?)(?![0-9,.])")
_COMMA = re.compile(r"[-+]?[0-9]*,[0-9]+")
_KEPT_FROM_A_FORMULA = re.compile("'[=+@-]")
_DAY = re.compile(r"([0-9]{1,2})([./-])([0-9]{1,2})\2([0-9]{4})")
_WITH_TIME = re.compile(r"([0-9]{4}-[0-9]{2}-[0-9]{2})[ T][0-9:.]+")
_PARTED = re.compile(r"\s*[,;/]\s*")
_FLAGS = {"true": True, "yes": True, "y": True, "false": False, "no": False, "n": False}
SIZE_UNITS = {"awg": "AWG", "kcmil": "kcmil", "mm2": "mm2", "mm²": "mm2"}


class UnreadableCell(ValueError):
    """A cell that can't be what its column asks for; the words say what to write. `meant`: what is surely meant."""

    def __init__(self, says: str, meant: str = "") -> None:
        super().__init__(says)
        self.meant = meant


def read_cell(column: Column, value: Any) -> Any:
    """Read a cell that is not blank. Raises `UnreadableCell`. What is read may be shared: nobody changes it."""
    return _read(column.pointer, value)


@functools.lru_cache(maxsize=20_000, typed=True)
def _read(pointer: str, value: Any) -> Any:
    column = _by_pointer()[pointer]
    if isinstance(value, Unusable):
        if value.text and column.kind == "text":  # only names or shows something
            return _text(column, " ".join(value.text.split()))
        raise UnreadableCell(value.says)
    if isinstance(value, dt.date | dt.time | dt.timedelta):
        return read_day(column.kind, value)
    if isinstance(value, bool):
        if not column.kind.startswith("flag"):
            raise UnreadableCell(f"is {str(value).lower()}, which is no {column.name}; write it as text")
        return value
    if isinstance(value, int | float):
        return _from_number(column, float(value))
    return _FROM_TEXT[column.kind](column, " ".join(value.split()))


@functools.cache
def _by_pointer() -> Mapping[str, Column]:
    return {column.pointer: column for column in columns()}


def read_day(kind: str, value: dt.date | dt.time | dt.timedelta) -> str:
    """Read what a spreadsheet holds as a date or time, for a column of a kind. Raises UnreadableCell but for a day."""
    if kind == "day" and isinstance(value, dt.date):
        return value.isoformat()[:10]
    turned = f"was turned into a date or time by the spreadsheet ({str(value)[:20]})"
    raise UnreadableCell(f"{turned}; format the cell as text and write it anew")


def day_in_text(text: str) -> str:
    """Give a day that people write in another way as 2026-11-30, where one alone can be meant; other text as it is.

    Raises UnreadableCell where it may be two.
    """
    if match := _WITH_TIME.fullmatch(text):
        return match[1]
    match = _DAY.fullmatch(text)
    if not match:
        return text
    first, second, year = int(match[1]), int(match[3]), int(match[4])
    days = [f"{year}-{month:02}-{day:02}" for month, day in sorted({(first, second), (second, first)}) if month <= 12]
    if len(days) > 1:
        raise UnreadableCell(f"{shown(text)} may mean {' or '.join(days)}; write one of them")
    return days[0] if days else text


def _from_number(column: Column, value: float) -> Any:
    number: int | float = int(value) if value == int(value) else value
    if column.kind == "number":
        return number
    if column.kind.endswith("quantity"):
        raise UnreadableCell(_no_unit(column, str(number)))
    if column.kind in ("text", "texts", "tags") and not isinstance(number, int):
        raise UnreadableCell(f"is the number {number}; format the cell as text, so that no digit is lost")
    if column.kind == "flag":
        raise UnreadableCell(f"{number} is neither true nor false; write yes or no")
    return [str(number)] if column.kind in ("texts", "tags") else str(number)


def _no_unit(column: Column, number: str) -> str:
    return f"{number} has no unit; write {' or '.join(repr(f'{number} {unit}') for unit in column.words)}"


def _plain_number(text: str) -> None:
    """Refuse commas in a number."""
    if match := _THOUSANDS.match(text):
        raise UnreadableCell(
            f"{shown(match[1])} has a comma in the number; write it without: {match[1].replace(',', '')}"
        )
    if match := _COMMA.match(text):
        raise UnreadableCell(
            f"{shown(match[0])} has a decimal comma; write it with a point: {match[0].replace(',', '.')}"
        )


def _number(column: Column, text: str) -> int | float:
    _plain_number(text)
    _one_number(text)
    match = _MEASURED.fullmatch(text)
    if not match:
        raise UnreadableCell(f"{shown(text)} is not a number")
    if match[2]:
        _unit(column, match[2])
    value = float(match[1])
    return int(value) if value == int(value) else value


def _quantity(column: Column, text: str) -> dict[str, Any]:
    _plain_number(text)
    _one_number(text)
    if match := _FRACTION.fullmatch(text):
        value = int(match[1] or 0) + int(match[2]) / int(match[3])
        return {"value": int(value) if value == int(value) else value, "unit": _unit(column, match[4])}
    match = _MEASURED.fullmatch(text)
    if not match:
        raise UnreadableCell(f"{shown(text)} is not a number with its unit; write it like '24 {column.words[0]}'")
    if not match[2]:
        raise UnreadableCell(_no_unit(column, match[1]))
    value = float(match[1])
    return {"value": int(value) if value == int(value) else value, "unit": _unit(column, match[2])}


def _one_number(text: str) -> None:
    """Refuse what is several numbers: a fraction is one of a length, as on a rule."""
    if told := several_told(text):
        raise UnreadableCell(told)


def _unit(column: Column, text: str) -> str:
    for unit in column.words:
        if unit.casefold() == text.casefold():
            return unit
    allowed = f"use {' or '.join(column.words)}" if column.words else "none belongs here"
    raise UnreadableCell(f"the unit {shown(text)} is not known here; {allowed}")


def _size(_column: Column, text: str) -> str:
    _plain_number(text)
    number, _, unit = text.partition(" ")
    return f"{number} {SIZE_UNITS.get(unit.casefold(), unit)}" if unit else text


def _flag(_column: Column, text: str) -> bool:
    return read_flag(text)


def read_flag(text: str, otherwise: str = "") -> bool:
    """Read yes or no. Raises UnreadableCell, which ends with what to write otherwise."""
    found = _FLAGS.get(text.casefold())
    if found is None:
        raise UnreadableCell(f"{shown(text)} is neither yes nor no{otherwise}")
    return found


def _flag_or_quantity(column: Column, text: str) -> Any:
    return _flag(column, text) if text.isalpha() else _quantity(column, text)


def _word(column: Column, text: str) -> str:
    return known_word(text, column.words) or text


def known_word(text: str, words: Iterable[str]) -> str | None:
    """Give the word that is meant, whatever its case and its hyphens; None where it is none of them."""
    return {_same(word): word for word in words}.get(_same(text))


def _same(word: str) -> str:
    return word.casefold().replace(" ", "-").replace("_", "-")


def _words(column: Column, text: str) -> list[str]:
    return [_word(column, one) for one in parted(text)]


def parted(text: str) -> list[str]:
    """Part words at commas, semicolons and strokes."""
    return _PARTED.split(text.strip(",;/ "))


def _texts(_column: Column, text: str) -> list[str]:
    return [one.strip() for one in re.split(r"[,;]", text) if one.strip()]


def _text(_column: Column, text: str) -> str:
    return without_mark(text)


def without_mark(text: str) -> str:
    """Take the apostrophe off that keeps text from being a formula."""
    return text[1:] if _KEPT_FROM_A_FORMULA.match(text) else text


_FROM_TEXT: dict[Kind, Callable[[Column, str], Any]] = {
    "text": _text,
    "texts": _texts,
    "tags": _texts,
    "size": _size,
    "word": _word,
    "words": _words,
    "number": _number,
    "flag": _flag,
    "quantity": _quantity,
    "flag-or-quantity": _flag_or_quantity,
    "day": lambda _, text: day_in_text(text),
}
