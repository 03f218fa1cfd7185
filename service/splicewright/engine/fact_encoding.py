"""Codes facts and comparisons for the library: words as small whole numbers, short names, and nothing else."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import NamedTuple

from splicewright.engine.faults import LARGEST_NUMBER, UnfitRulebook
from splicewright.question.fact_kinds import FactKind, fact_kinds
from splicewright.rulebook.model import Test

_LETTERS = "0123456789abcdefghijklmnopqrstuvwxyz"
_OPERATORS = {"at-least": "$gte", "at-most": "$lte", "above": "$gt", "below": "$lt", "other-than": "$neq"}


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


def distinct_names(prefixes: str, *reserved: str) -> Iterator[str]:
    """Give property names that the library can tell apart from each other and from those it has a use for."""
    taken = {name_hash(name) for name in ("id", "sid", *reserved)}
    number = 0
    while True:
        for prefix in prefixes:
            name = prefix + base36(number, 1 if number < 36 else 2 if number < 36 * 36 else 3)
            if name_hash(name) not in taken:
                taken.add(name_hash(name))
                yield name
        number += 1


class Comparison(NamedTuple):
    """One comparison of a fact, by name, with a whole number. `operator` is the library's."""

    name: str
    operator: str
    value: int

    def written(self, prop: str) -> dict[str, object]:
        """Write it as the library reads it, of a property."""
        pair = {prop: self.value}
        return {**pair} if self.operator == "$eq" else {self.operator: pair}


#: What a pattern asks: tests, each as the comparisons of which one must hold. All tests must pass.
Tests = frozenset[tuple[Comparison, ...]]


def comparisons_of(rule: str, test: Test) -> tuple[Comparison, ...]:
    """Give the comparisons of which one must hold for a test to pass.

    Raises UnfitRulebook for a test that a fact of its kind cannot be put to.
    """
    kind = fact_kinds().get(test.name)
    if kind is None:
        raise UnfitRulebook(rule, f"{test.name} is no fact; write one that the vocabulary has")
    if not test.values:
        raise UnfitRulebook(rule, f"{test.name} is compared with nothing; write a value")
    try:
        codes = [coded(kind, value) for value in test.values]
    except (TypeError, ValueError) as error:
        raise UnfitRulebook(rule, str(error)) from None
    if test.operator == "any-of":
        return tuple(Comparison(test.name, "$eq", code) for code in codes)
    if len(codes) > 1:
        raise UnfitRulebook(rule, f"{test.name}: {test.operator} takes one value; write a list only for any of")
    if kind.kind == "words":
        raise UnfitRulebook(rule, f"{test.name} is a list; write the words that it may include")
    if kind.kind in ("word", "flag") and test.operator != "other-than":
        raise UnfitRulebook(rule, f"{test.name} has no order; write the values meant")
    return (Comparison(test.name, _OPERATORS[test.operator], codes[0]),)


#: The number of each free word that some rule has compared with, in this process.
_FREE_WORDS: dict[str, int] = {}


def coded(kind: FactKind, value: object) -> int:
    """Give the whole number that stands for a value. Raises TypeError or ValueError for another kind's."""
    if kind.open:
        return _FREE_WORDS.setdefault(str(value), len(_FREE_WORDS) + 1)
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


def words_compared(kind: FactKind, tests: Iterable[tuple[Comparison, ...]]) -> Iterable[str]:
    """Give the words of a fact: all that it may have, or of free ones those that some test compares it with."""
    if not kind.open:
        return kind.words
    numbers = {comparison.value for test in tests for comparison in test}
    return [word for word, number in tuple(_FREE_WORDS.items()) if number in numbers]


def check_value(kind: FactKind, value: object) -> None:
    """Raise TypeError or ValueError for a value that a fact of this kind never has."""
    if kind.kind != "words":
        coded(kind, value)
        return
    if not isinstance(value, tuple):
        raise TypeError(f"{kind.name} is not {value!r}; it is a list of words")
    for word in value:
        if not kind.open:
            coded(kind, word)
