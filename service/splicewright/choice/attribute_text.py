"""Listed attributes and tests on them, in the words that an answer prints."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from typing import Any

from splicewright.rulebook.attributes import ATTRIBUTES
from splicewright.rulebook.model import FactValue, ListingTest
from splicewright.units import plain, size_name, whole

_UNITS = {"volts": "V", "temperature": "degC", "length": "mm", "amps": "A"}


def attribute_value(attribute: str, value: Any) -> Any:
    """Give a coded value as JSON prints it: `600 V`, `105 degC`, a size, a word, true, a count."""
    if ATTRIBUTES[attribute].kind == "size" and not isinstance(value, FactValue):
        return size_name(int(value))
    unit = _UNITS.get(ATTRIBUTES[attribute].kind)
    if unit is None or isinstance(value, FactValue):
        return value
    return f"{plain(round(float(Fraction(int(value), whole(1, unit))), 1))} {unit}"


def listed_value(attributes: Mapping[str, Any], attribute: str) -> str:
    """Give what a listing says of an attribute, in words."""
    if attribute not in attributes:
        return "not stated by its listing"
    value = attributes[attribute]
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, frozenset | tuple | list):
        return ", ".join(sorted(value)) or "none"
    return str(attribute_value(attribute, value))


def test_plain(test: ListingTest) -> dict[str, Any]:
    """Give a test as an answer prints it: `{any-of: [600 V]}`, `{includes: [wet]}`."""
    return {test.operator: [attribute_value(test.attribute, value) for value in test.values]}
