"""Tests of a demand or a preference against what a connector's listing says. A silent listing fails every test."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from typing import Any

from splicewright.catalogue.model import Connector
from splicewright.rulebook.model import FactValue, ListingTest

Values = tuple[Any, ...]
_NOT_PLAIN = frozenset({FactValue, tuple, frozenset, list})


def meets(listed: Connector | Mapping[str, Any], test: ListingTest) -> bool:
    """Say whether a connector, or a map of listed attributes (coded as `Connector.attributes`), passes a test.

    A value that a rule takes from the question must have been put in its place, a list of words as a tuple:
    raises TypeError where the test still names a fact.
    """
    attributes = listed.attributes if isinstance(listed, Connector) else listed
    value = attributes.get(test.attribute)
    if value is None:
        return False
    values = test.values
    for one in values:
        if type(one) in _NOT_PLAIN:
            values = tuple(_flat(test))
            break
    return _OPERATORS[test.operator](value, values)


def _flat(test: ListingTest) -> Iterator[Any]:
    for one in test.values:
        if isinstance(one, FactValue):
            raise TypeError(f"{test.attribute} is compared with the fact {one.fact!r}; put in its value first")
        yield from one if isinstance(one, tuple | frozenset | list) else (one,)


def _any_of(value: Any, given: Values) -> bool:
    return not value.isdisjoint(given) if isinstance(value, frozenset) else value in given


def _other_than(value: Any, given: Values) -> bool:
    return not _any_of(value, given)


def _includes_all(value: Any, given: Values) -> bool:
    return value.issuperset(given) if isinstance(value, frozenset) else all(value == one for one in given)


#: what a rule may write -> (value listed, values asked for) -> passes; the first six as for facts
_OPERATORS: dict[str, Callable[[Any, Values], bool]] = {
    "any-of": _any_of,
    "other-than": _other_than,
    "at-least": lambda value, given: bool(value >= given[0]),
    "at-most": lambda value, given: bool(value <= given[0]),
    "above": lambda value, given: bool(value > given[0]),
    "below": lambda value, given: bool(value < given[0]),
    "includes": _includes_all,
    "includes-any": _any_of,
    "includes-all": _includes_all,
}
