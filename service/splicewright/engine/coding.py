"""Codes facts for the library: short property names, words as small whole numbers, and nothing else.

Each fact that some rule tests has a property with its value. A list of allowed values has a property of its
own, 1 where the value is among them and left out where it is not: so no rule needs a disjunction, which would
fire it once a branch, and a fact of many words has a property for each list of words tested.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from splicewright.engine.faults import LARGEST_NUMBER, UnfitRulebook
from splicewright.question.fact_kinds import FactKind, Value, fact_kinds
from splicewright.rulebook.model import Test

WARM_UP = "warm"  # the property, and the id, of the fact that fires the first rule of a session
_LETTERS = "0123456789abcdefghijklmnopqrstuvwxyz"
_OPERATORS = {"at-least": "$gte", "at-most": "$lte", "above": "$gt", "below": "$lt", "other-than": "$neq"}
_REMEMBERED = 4096  # fragments kept for each fact; sizes and volts have no end of values


def base36(number: int, width: int) -> str:
    """Write a number in `width` digits and letters. Raises ValueError where they do not suffice."""
    text = ""
    for _ in range(width):
        number, digit = divmod(number, 36)
        text = _LETTERS[digit] + text
    if number:
        raise ValueError("too large for its width")
    return text


def name_hash(name: str) -> int:
    """Give the 32-bit FNV-1a hash by which alone the library tells names and ids apart."""
    found = 2166136261
    for byte in name.encode("ascii"):
        found = (found ^ byte) * 16777619 & 0xFFFFFFFF
    return found


def distinct_names(prefixes: str) -> Iterator[str]:
    """Give property names that the library can tell apart from each other and from those it has a use for."""
    taken = {name_hash(name) for name in ("id", "sid", WARM_UP)}
    number = 0
    while True:
        for prefix in prefixes:
            name = prefix + base36(number, 1 if number < 36 else 2)
            if name_hash(name) not in taken:
                taken.add(name_hash(name))
                yield name
        number += 1


@dataclass(frozen=True, slots=True, order=True)
class Comparison:
    """One coded comparison of a property with a whole number."""

    prop: str
    operator: str
    value: int

    def plain(self) -> dict[str, object]:
        """Write it as the library reads it."""
        pair = {self.prop: self.value}
        return {**pair} if self.operator == "$eq" else {self.operator: pair}


class Fragments(dict[Value, str]):
    """Of one fact: each value's properties as JSON text, `,"a0":3,"b1":1`. Worked out once a value."""

    def __init__(
        self, kind: FactKind, prop: str | None, lists: Mapping[frozenset[Value], str], limits: Iterable[int] = ()
    ) -> None:
        super().__init__()
        self._kind = kind
        self._prop = prop
        self._lists = dict(lists)
        self._limits = sorted(limits)
        self._likenesses: dict[Value, str] = {}

    def __missing__(self, value: Value) -> str:
        """Write a value not seen before. Raises TypeError for one that is not of the fact's kind."""
        text = self._write(value)
        if len(self) < _REMEMBERED:
            self[value] = text
        return text

    def _write(self, value: Value) -> str:
        found = ""
        if self._kind.kind == "words":
            words = _words(self._kind, value)
            return "".join(f',"{prop}":1' for listed, prop in self._lists.items() if not words.isdisjoint(listed))
        number = coded(self._kind, value)
        if self._prop:
            found = f',"{self._prop}":{number}'
        return found + "".join(f',"{prop}":1' for listed, prop in self._lists.items() if value in listed)

    def likeness(self, value: Value) -> str:
        """Give the same text for values of which every comparison with the property says the same.

        They have the same words listed, and stand in the same place among the numbers that the rules compare with.
        """
        found = self._likenesses.get(value)
        if found is None:
            found = self[value]
            if self._prop:
                number = coded(self._kind, value)
                lists = found.partition(f',"{self._prop}":{number}')[2]
                place = bisect_left(self._limits, number)
                found = f"{place}{'=' if number in self._limits else '<'}{lists}"
            if len(self._likenesses) < _REMEMBERED:
                self._likenesses[value] = found
        return found

    def most(self) -> int:
        """Give the most properties that one value can have."""
        return len(self._lists) + (self._prop is not None)


class Coding:
    """Gives the facts of one scope their properties, as the tests of rules ask for them."""

    def __init__(self, names: Iterator[str]) -> None:
        self._names = names
        self._props: dict[str, str] = {}
        self._lists: dict[str, dict[frozenset[Value], str]] = {}
        self._limits: dict[str, set[int]] = {}

    def comparison(self, rule: str, test: Test) -> Comparison:
        """Code a test. Raises UnfitRulebook for one that a fact of its kind cannot be put to."""
        kind = fact_kinds().get(test.name)
        if kind is None:
            raise UnfitRulebook(rule, f"{test.name} is no fact; write one that the vocabulary has")
        if not test.values:
            raise UnfitRulebook(rule, f"{test.name} is compared with nothing; write a value")
        try:
            codes = {value: coded(kind, value) for value in test.values}
        except (TypeError, ValueError) as error:
            raise UnfitRulebook(rule, str(error)) from None
        if test.operator == "any-of":
            return self._any_of(kind, codes)
        if len(test.values) > 1:
            raise UnfitRulebook(rule, f"{test.name}: {test.operator} takes one value; write a list only for any of")
        if kind.kind == "words":
            raise UnfitRulebook(rule, f"{test.name} is a list; write the words that it may include")
        if kind.kind in ("word", "flag") and test.operator != "other-than":
            raise UnfitRulebook(rule, f"{test.name} has no order; write the values meant")
        return self._compared(kind, _OPERATORS[test.operator], codes[test.values[0]])

    def _any_of(self, kind: FactKind, codes: Mapping[str | int | bool, int]) -> Comparison:
        if kind.kind != "words" and len(codes) == 1:
            return self._compared(kind, "$eq", *codes.values())
        lists = self._lists.setdefault(kind.name, {})
        listed = frozenset[Value](codes)
        if listed not in lists:
            lists[listed] = next(self._names)
        return Comparison(lists[listed], "$eq", 1)

    def _compared(self, kind: FactKind, operator: str, limit: int) -> Comparison:
        if kind.name not in self._props:
            self._props[kind.name] = next(self._names)
        self._limits.setdefault(kind.name, set()).add(limit)
        return Comparison(self._props[kind.name], operator, limit)

    def coded(self) -> tuple[tuple[str, Fragments], ...]:
        """Give the facts that were tested, each with what its values are written as."""
        names = sorted({*self._props, *self._lists})
        return tuple(
            (
                name,
                Fragments(
                    fact_kinds()[name], self._props.get(name), self._lists.get(name, {}), self._limits.get(name, ())
                ),
            )
            for name in names
        )


def coded(kind: FactKind, value: object) -> int:
    """Give the whole number that stands for a value. Raises TypeError or ValueError for another kind's."""
    if kind.kind in ("word", "words"):
        if value not in kind.words:
            raise ValueError(f"{kind.name} is never {value!r}; write one of its words")
        return kind.words.index(str(value)) + 1
    if kind.kind == "flag":
        if not isinstance(value, bool):
            raise TypeError(f"{kind.name} is not {value!r}; write true or false")
        return int(value)
    if not isinstance(value, int) or isinstance(value, bool):
        raise TypeError(f"{kind.name} is not {value!r}; only whole numbers are compared")
    if abs(value) > LARGEST_NUMBER:
        raise ValueError(f"{kind.name} is out of range at {value}; write a smaller number")
    return value


def _words(kind: FactKind, value: Value) -> frozenset[Value]:
    if not isinstance(value, tuple):
        raise TypeError(f"{kind.name} is not {value!r}; it is a list of words")
    for word in value:
        coded(kind, word)
    return frozenset(value)
