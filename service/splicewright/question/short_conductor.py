"""How a conductor begins in a question of one line: its size, and how many there are of it: `3 #12`, `two 8 AWG`."""

from __future__ import annotations

import re
from typing import Any, NamedTuple

from splicewright.question.amounts import has_unit, number_with_unit
from splicewright.refusals import shown
from splicewright.units import cable_told, size, size_meant, sizes_meant

_COUNTED = ("one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve")
_NUMBER = r"[0-9]{1,12}"
MANY = rf"(?:{_NUMBER}|{'|'.join(_COUNTED)})"
#: How many stand before a size; where a word or a sign parts the two, or a word says how many.
_COUNT = re.compile(
    rf"(?:({MANY})\s*(?:of|x|ea\.?|each|pcs?\.?)\s+|\(({_NUMBER})\)\s*|({_NUMBER})[\s-]*(?=#|no\.?\s*[0-9])|"
    rf"(?P<word>{'|'.join(_COUNTED)})\s+)(?P<rest>.*)",
    re.IGNORECASE | re.DOTALL,
)
_JOINED = re.compile(r"([0-9]{1,3})\s*-\s*([0-9].*)", re.DOTALL)  # `2-12 AWG`
_COUNT_AFTER = re.compile(rf"(?:x\s*({_NUMBER})|({_NUMBER})\s*(?:x|ea|pcs?))\b\.?(.*)", re.IGNORECASE | re.DOTALL)


class Begun(NamedTuple):
    """What a text begins with: a conductor, where it is one, and what is left; or what is wrong."""

    conductor: dict[str, Any] | None
    rest: str
    problem: str = ""


def begin(text: str) -> Begun:
    """Begin a conductor where a text begins with its size."""
    counted = _COUNT.fullmatch(text)
    rest = counted["rest"].strip() if counted else text
    tokens = rest.split()
    for some in (2, 1):
        meant = _size(" ".join(tokens[:some])) if len(tokens) >= some else None
        if meant is not None:
            after = _COUNT_AFTER.fullmatch(" ".join(tokens[some:])) if not counted else None
            many = (after[1] or after[2]) if after else next(filter(None, counted.groups()), "") if counted else ""
            conductor = {"size": meant, **({"count": _count(many)} if many else {})}
            return Begun(conductor, after[3].strip() if after else " ".join(tokens[some:]))
    return Begun(None, rest, _no_size(text, rest, tokens, counted))


def _no_size(text: str, rest: str, tokens: list[str], counted: re.Match[str] | None) -> str:
    """Tell what is wrong with a text that begins as a conductor does, but with no size; empty where it does not."""
    after_count = " ".join(tokens[1:]) if not counted and tokens and tokens[0].isdecimal() else rest
    if (told := cable_told(after_count)) and not _begins_with_an_amount(after_count.split()):
        gauge = re.split(r"[/-]", after_count.lstrip("#"), maxsplit=1)[0].strip()
        return f"{told}: such as 2 of {gauge} AWG cable=NM"
    if counted and not counted["word"]:
        guesses = sizes_meant(tokens[0]) if tokens else []
        write = f"; write {' or '.join(guesses)}" if guesses else "; write it like 12 AWG or 2.5 mm2"
        return f"{shown(rest[:30])} is no size with its unit{write}"
    if not counted and (joined := _JOINED.fullmatch(text)) and (meant := _first_size(joined[2].split()[:2])):
        return f"{shown(text[:30])} may be a count; write {joined[1]} of {meant}"
    if len(tokens) > 1 and tokens[0].isdecimal() and (meant := _first_size(tokens[1:])):
        return f"{shown(text[:30])} may be a count; write {tokens[0]} of {meant}"
    return ""


def _begins_with_an_amount(tokens: list[str]) -> bool:
    """Tell `3/4 in` and `120/240 V` from a cable; the one of `10/3 in a box` is in a box."""
    first = [" ".join(tokens[:some]) for some in (1, 2)]
    return any(number_with_unit(one)[1] or (has_unit(one) and not one.endswith("in")) for one in first)


def begins_another(tokens: list[str]) -> bool:
    """Say whether tokens begin with a size, or with a number and a size after it."""
    if "#" in tokens[0]:
        return True
    many = tokens[0].isdecimal() or tokens[0].lower() in _COUNTED
    return many and len(tokens) > 1 and (_size(" ".join(tokens[1:3])) or _size(tokens[1])) is not None


def _count(many: str) -> int:
    return int(many) if many.isdecimal() else _COUNTED.index(many.lower()) + 1


def _first_size(tokens: list[str]) -> str | None:
    """Give the first size among tokens, each read alone or with the one after it."""
    for at in range(len(tokens)):
        if meant := _size(" ".join(tokens[at : at + 2])) or _size(tokens[at]):
            return meant
    return None


def _size(text: str) -> str | None:
    try:
        return size(text).text
    except ValueError:
        return size_meant(text)
