"""Numbers with their units as people write them: `3/4 in`, `13.8 kV`; and what is wrong with those that are none."""

from __future__ import annotations

import re
from collections.abc import Collection, Mapping
from fractions import Fraction

from splicewright.question.phrases import phrases
from splicewright.refusals import shown

_NUMBER = r"[0-9]{1,6}(?:\.[0-9]{1,6})?"
_QUANTITY = re.compile(
    r"(?P<sign>-?)(?:(?P<whole>[0-9]{1,6})[ -])?"
    rf"(?:(?P<top>[0-9]{{1,3}})/(?P<bottom>[0-9]{{1,3}})|(?P<number>{_NUMBER}))"
    r"\s*(?P<unit>[A-Za-z°\"'][A-Za-z0-9. -]{0,20})",
    re.ASCII,
)
#: Numbers with strokes between, of which those of a system of volts may have the sign of a wye: `480Y/277 V`.
_SEVERAL = re.compile(rf"({_NUMBER})[Yy]?((?:\s?[/-]\s?{_NUMBER}[Yy]?)+)\s*(?P<unit>[A-Za-z°\"'][A-Za-z.]{{0,10}})?")
_ONE_OF_ANY = re.compile(rf"-?{_NUMBER}\s*(?P<unit>[A-Za-z°µ\"'][A-Za-z0-9°. -]{{0,20}})")
_SOME_UNIT = re.compile(r"[A-Za-z]{1,5}\Z")
#: Units that people write, also those that no question knows.
_WITH_SOME_UNIT = re.compile(
    rf"{_NUMBER}[Yy]?(?:[/-]{_NUMBER}[Yy]?)*\s*(?:[kmµ]?(?:V|A|W|VA)|hp|phase|ph|poles?|wires?|awg|ga|kcmil|mcm|mm2|Hz|ohms?|[cm]?m|yd|K|"
    r"°?[CF]|deg[CF]|in|ft|volts?|amps?|\"|')\.?",
    re.IGNORECASE,
)
#: What units are written as, in small letters without blanks and points.
_UNIT_WORDS: Mapping[str, str] = {
    **dict.fromkeys(('"', "in", "inch", "inches"), "in"),
    **dict.fromkeys(("'", "ft", "foot", "feet"), "ft"),
    **dict.fromkeys(("mm", "millimeter", "millimeters", "millimetre", "millimetres"), "mm"),
    **dict.fromkeys(("cm", "centimeter", "centimeters", "centimetre", "centimetres"), "cm"),
    **dict.fromkeys(("in3", "cuin", "cubicinch", "cubicinches"), "in3"),
    **dict.fromkeys(("cm3", "cc"), "cm3"),
    **dict.fromkeys(("lbf-in", "in-lb", "in-lbs", "lb-in", "lbs-in", "inch-pounds"), "lbf-in"),
    **dict.fromkeys(("lbf-ft", "ft-lb", "ft-lbs", "lb-ft", "lbs-ft", "foot-pounds"), "lbf-ft"),
    **dict.fromkeys(("n-m", "nm"), "N-m"),
    **dict.fromkeys(("c", "°c", "degc", "celsius"), "degC"),
    **dict.fromkeys(("f", "°f", "degf", "fahrenheit"), "degF"),
    **dict.fromkeys(("v", "volt", "volts"), "V"),
    **dict.fromkeys(("a", "amp", "amps", "ampere", "amperes"), "A"),
}
#: Units that are so many of another, exactly.
_MULTIPLES: Mapping[str, tuple[str, Fraction]] = {
    **dict.fromkeys(("kv", "kilovolt", "kilovolts"), ("V", Fraction(1000))),
    **dict.fromkeys(("ma", "milliamp", "milliamps"), ("A", Fraction(1, 1000))),
}
_DIVIDED = ("in", "ft")  # what is told in fractions, by halves of halves as on a rule
_ON_A_RULE = (2, 4, 8, 16, 32, 64)


def has_unit(sent: str) -> bool:
    """Tell whether a text is a number, or several, with what people write as a unit."""
    return _WITH_SOME_UNIT.fullmatch(sent.strip()) is not None


def number_with_unit(sent: str) -> tuple[float, str | None]:
    """Read a number with its unit, None where there is none; a fraction of an inch as what it comes to."""
    match = _QUANTITY.fullmatch(sent.strip())
    unit, many = _unit(match["unit"]) if match else (None, Fraction(1))
    if not match or not unit or (match["number"] is not None and match["whole"] is not None):
        return 0, None
    if match["number"] is not None:
        value = Fraction(match["number"])
    else:
        top, bottom = int(match["top"]), int(match["bottom"])
        if unit not in _DIVIDED or bottom not in _ON_A_RULE or not 0 < top < bottom:
            return 0, None  # two numbers, such as the volts of a system
        value = Fraction(top, bottom) + int(match["whole"] or 0)
    value *= many * (-1 if match["sign"] else 1)
    return (int(value) if value.denominator == 1 else float(value)), unit


def _unit(written: str) -> tuple[str | None, Fraction]:
    """Give the unit that is written, and how many of it one is."""
    word = re.sub(r"[ .]", "", written).lower()
    return _MULTIPLES.get(word) or (_UNIT_WORDS.get(word), Fraction(1))


def several_told(sent: str) -> str:
    """Tell of a text that is several numbers, such as `120/240 V`, which of them to write; empty where it is not."""
    match = _SEVERAL.fullmatch(sent.strip())
    if number_with_unit(sent)[1] is not None:
        return ""
    if not match:
        parted = _QUANTITY.fullmatch(sent.strip())
        of_no_rule = parted is not None and parted["top"] is not None and _unit(parted["unit"])[0] is not None
        return f"{shown(sent)} is no fraction of an inch as on a rule; write it with a point, such as 1.5" * of_no_rule
    unit = (_unit(match["unit"])[0] if match["unit"] else None) or match["unit"]
    if told := unknown_told(sent):
        return told
    numbers = sorted({Fraction(one): one for one in re.findall(_NUMBER, sent)}.items())
    if unit is None:
        return f"{shown(sent)} is several numbers; write one of them, with its unit"
    each = [f"{number} {match['unit']}" for _, number in numbers]
    ways = phrases().pairs.get(unit, "{low} or {high}") if len(each) == 2 else " or ".join(each)
    return f"{shown(sent)} is several numbers; write {ways.format(low=each[0], high=each[-1])}"


def unknown_told(sent: str) -> str:
    """Tell what to write instead of a number in a unit that no leaf is in; empty where it is none of those known."""
    match = _SOME_UNIT.search(sent)
    says = phrases().units.get(match[0].lower()) if match else None
    return f"{shown(sent)} says nothing of a joint: {says}" if says else ""


def unit_told(sent: str, units: Collection[str]) -> str:
    """Tell of a number with a unit that it is none of those it may be in; empty where it is, or is no number."""
    match = _ONE_OF_ANY.fullmatch(sent.strip())
    if not match or number_with_unit(sent)[1] in units or several_told(sent):
        return ""
    said = match["unit"].strip()
    if not units:
        return f"{shown(sent)} has a unit; a number without one is asked"
    return f"{shown(sent)} is in {said}; a number of {' or '.join(units)} is asked"
