"""Commas and points in the numbers of cells: what parts thousands, what decimals, and what may be either.

What may be either is refused with both ways to write it, of which neither is doubtful again.
"""

from __future__ import annotations

import re

from splicewright.refusals import shown
from splicewright.sheets.cells import UnreadableCell

_SIGNED = re.compile(r"[0-9]+(?:[.,][0-9]+)+")
_GROUPED = re.compile(r"[1-9][0-9]{0,2}(?:([.,])[0-9]{3})(?:\1[0-9]{3})*")
_DOUBTFUL = re.compile(r"[1-9][0-9]{0,2}\.[0-9]{3}")
_SHARP = re.compile(r"(?<![0-9.])([1-9][0-9]{0,2}\.[0-9]{3})0(?![0-9.])")
_OF_INCHES = re.compile('(?:in\\.?|inch|inches|["\u201d])$', re.IGNORECASE)  # nobody has a thousand of them


def refuse_commas(text: str) -> None:
    """Refuse a comma in a number: some mean thousands by it and some a decimal point. Raises `UnreadableCell`."""
    for number in _SIGNED.findall(text):
        if "," in number:
            raise UnreadableCell(f"{shown(number)} has a comma in the number; write {_meant(number)}")


def refuse_doubtful_points(text: str) -> None:
    """Refuse text like `1.200`, by which some mean 1200. Raises `UnreadableCell`."""
    if _OF_INCHES.search(text):
        return
    for number in _SIGNED.findall(text):
        if _DOUBTFUL.fullmatch(number):
            raise UnreadableCell(
                f"{shown(number)} may mean {number.replace('.', '')} or {number}; write {_meant(number)}"
            )


def sharp(text: str) -> str:
    """Give a number that may be read in two ways as it is read in one: `26.125 kcmil` as `26.1250 kcmil`."""
    return "".join(f"{part}0" if _DOUBTFUL.fullmatch(part) else part for part in re.split("( )", text))


def as_written(text: str) -> str:
    """Give what `sharp` was given."""
    return _SHARP.sub(r"\1", text)


def _meant(number: str) -> str:
    """Tell how to write what a number may mean."""
    last = max(number.rfind(","), number.rfind("."))
    whole, part = re.sub("[.,]", "", number[:last]), number[last + 1 :]
    signs = set(number) & {",", "."}
    if len(signs) == 1 and number.count(number[last]) > 1:  # thousands, or what nobody writes
        return f"{whole}{part}" if _GROUPED.fullmatch(number) else "it with a point for decimals and no comma"
    if len(signs) == 1 and _GROUPED.fullmatch(number):
        return f"{whole}{part} or {whole}.{part}0"
    before = number[:last]
    if len(signs) > 1 and not (_GROUPED.fullmatch(before) and number[last] not in before):
        return "it with a point for decimals and no comma"
    return f"{whole}.{part}"
