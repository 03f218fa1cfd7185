"""Bitmap indexes: for each value of a fact, the patterns that it does not rule out, as bits. The library decides them.

At load each comparison that some pattern makes is decided by the library once: for each word of its fact; for a fact
without a value; and for each interval between the numbers that its fact is compared with, and for those themselves. A
question then only looks up: what is left when the bits of all of its values are ANDed are the patterns that match.
"""

from __future__ import annotations

import itertools
from bisect import bisect_right
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from typing import Any

from splicewright.engine.fact_encoding import Comparison, check_value, coded, distinct_names
from splicewright.engine.faults import LARGEST_NUMBER
from splicewright.engine.library_session import WARM_UP, LibrarySession, rule_name
from splicewright.question.fact_kinds import FactKind, Value, fact_kinds

#: What a pattern asks: tests, each as the comparisons of which one must hold. All tests must pass.
Tests = frozenset[tuple[Comparison, ...]]
#: By fact: for each value tried, coded, None for no value, the comparisons that hold.
Decided = Mapping[str, Mapping[int | None, frozenset[Comparison]]]

_BEHIND_A_GATE = 50  # comparisons: the library keeps those that hold on a stack of 64
_AT_ONCE = 500  # facts
_GATES = 400  # of one ruleset: the library's table of what a fact is tested for first has more places


def decide(patterns: Iterable[Tests]) -> Decided:
    """Have the library decide every comparison of these patterns for every value that it can tell apart."""
    of_facts: dict[str, set[Comparison]] = {}
    for comparison in itertools.chain.from_iterable(itertools.chain.from_iterable(patterns)):
        of_facts.setdefault(comparison.name, set()).add(comparison)
    values = {name: _values(fact_kinds()[name], made) for name, made in of_facts.items()}
    chunks = [
        (name, every[at : at + _BEHIND_A_GATE])
        for name, made in sorted(of_facts.items())
        for every in [sorted(made)]
        for at in range(0, len(every), _BEHIND_A_GATE)
    ]
    found: dict[str, dict[int | None, set[Comparison]]] = {
        name: {value: set() for value in tried} for name, tried in values.items()
    }
    for at in range(0, len(chunks), _GATES):
        for name, value, comparison in _decided(chunks[at : at + _GATES], values):
            found[name][value].add(comparison)
    return {name: {value: frozenset(held) for value, held in each.items()} for name, each in found.items()}


def _decided(
    chunks: Sequence[tuple[str, Sequence[Comparison]]], values: Mapping[str, Sequence[int | None]]
) -> Iterator[tuple[str, int | None, Comparison]]:
    """Give each comparison that holds, with the fact and its value. Each chunk stands behind a gate of its own."""
    names = distinct_names("vg", WARM_UP)
    prop = next(names)
    gates = list(itertools.islice(names, len(chunks)))
    rules = [(gate, one) for gate, (_, every) in zip(gates, chunks, strict=True) for one in every]
    patterns = {rule_name(at): {"$and": [{gate: 1}, one.written(prop)]} for at, (gate, one) in enumerate(rules)}
    facts = [(gate, name, value) for gate, (name, _) in zip(gates, chunks, strict=True) for value in values[name]]
    session = LibrarySession(patterns)
    try:
        for at in range(0, len(facts), _AT_ONCE):
            some = facts[at : at + _AT_ONCE]
            texts = [f',"{gate}":1' + ("" if value is None else f',"{prop}":{value}') for gate, _, value in some]
            for fact, rule in session.fired(texts):
                _, name, value = some[fact]
                yield name, value, rules[int(rule, 36)][1]
    finally:
        session.close()


def _values(kind: FactKind, comparisons: Iterable[Comparison]) -> list[int | None]:
    """Give the values that comparisons can tell apart: none, and all words, both flags, or a number of each interval.

    The intervals are told by the whole number that each begins with.
    """
    if kind.words:
        return [None, *range(1, len(kind.words) + 1)]
    if kind.kind == "flag":
        return [None, 0, 1]
    numbers = {comparison.value for comparison in comparisons}
    begins = {-LARGEST_NUMBER, *numbers, *(number + 1 for number in numbers if number < LARGEST_NUMBER)}
    return [None, *sorted(begins)]


_Get = Callable[[str], Value | None]
#: A list's bits for one test of each pattern: the patterns that do not test it, and what each word adds.
_Layer = tuple[int, Mapping[Any, int]]
#: A number's: where intervals begin, the bits of each, and those of no value. There are none (it is a TypeError)
#: before the first one and from the last one on.
_Intervals = tuple[str, Sequence[int], Sequence[Any], int]


class BitmapIndex:
    """Tells which patterns match the facts of one joint, or of one conductor."""

    def __init__(self, patterns: Mapping[int, Tests], decided: Decided) -> None:
        """Index patterns by their bits. `decided` is what the library said of all of their comparisons."""
        self._everything = sum(1 << bit for bit in patterns)
        self._words: list[tuple[str, Mapping[Any, int]]] = []
        self._flags: list[tuple[str, int, int, int]] = []
        self._numbers: list[_Intervals] = []
        self._lists: list[tuple[str, tuple[_Layer, ...]]] = []
        tested: dict[str, dict[int, list[tuple[Comparison, ...]]]] = {}
        for bit, tests in patterns.items():
            for test in sorted(tests):
                tested.setdefault(test[0].name, {}).setdefault(bit, []).append(test)
        for name, of_bits in tested.items():
            self._add(fact_kinds()[name], of_bits, decided[name])

    def _add(
        self,
        kind: FactKind,
        of_bits: Mapping[int, Sequence[tuple[Comparison, ...]]],
        decided: Mapping[int | None, frozenset[Comparison]],
    ) -> None:
        """Add a fact, with the tests of each pattern that tests it."""
        if kind.kind == "words":
            layers = itertools.count()
            most = max(map(len, of_bits.values()))
            self._lists.append(
                (kind.name, tuple(self._layer(kind, of_bits, decided, next(layers)) for _ in range(most)))
            )
            return
        untested = self._everything & ~sum(1 << bit for bit in of_bits)
        bits = {
            value: untested | sum(1 << bit for bit, tests in of_bits.items() if _pass(tests, held))
            for value, held in decided.items()
        }
        if kind.kind == "word":
            of_words = {word: bits[coded(kind, word)] for word in kind.words}
            self._words.append((kind.name, {None: bits[None], **of_words}))
        elif kind.kind == "flag":
            self._flags.append((kind.name, bits[1], bits[0], bits[None]))
        else:
            begins = [value for value in decided if value is not None]
            of_intervals = [None, *(bits[value] for value in begins), None]
            self._numbers.append((kind.name, [*begins, LARGEST_NUMBER + 1], of_intervals, bits[None]))

    def _layer(
        self,
        kind: FactKind,
        of_bits: Mapping[int, Sequence[tuple[Comparison, ...]]],
        decided: Mapping[int | None, frozenset[Comparison]],
        layer: int,
    ) -> _Layer:
        """Take one test of each pattern: a list passes it by any of its words, but must pass each test."""
        tests = {bit: each[layer] for bit, each in of_bits.items() if layer < len(each)}
        untested = self._everything & ~sum(1 << bit for bit in tests)
        of_words = {
            word: sum(1 << bit for bit, test in tests.items() if _pass([test], decided[coded(kind, word)]))
            for word in kind.words
        }
        return untested, of_words

    def matching(self, facts: Mapping[str, Value]) -> int:
        """Give the patterns that match, as bits. Raises TypeError or ValueError for a value of another kind."""
        bits, get = self._everything, facts.get
        try:
            for name, of_words in self._words:
                bits &= of_words[get(name)]
            return bits & self._by_numbers(get) & self._by_flags(get) & self._by_lists(get)
        except (KeyError, TypeError):
            self._check(facts)
            raise

    def _by_numbers(self, get: _Get) -> int:
        bits = self._everything
        for name, begins, of_intervals, absent in self._numbers:
            value = get(name)
            if value is None:
                bits &= absent
            elif type(value) is int:
                bits &= of_intervals[bisect_right(begins, value)]
            else:
                raise TypeError
        return bits

    def _by_flags(self, get: _Get) -> int:
        bits = self._everything
        for name, yes, no, absent in self._flags:
            value = get(name)
            if value is None:
                bits &= absent
            elif value is True:
                bits &= yes
            elif value is False:
                bits &= no
            else:
                raise TypeError
        return bits

    def _by_lists(self, get: _Get) -> int:
        bits = self._everything
        for name, layers in self._lists:
            value = get(name)
            if not isinstance(value, tuple | None):
                raise TypeError
            for untested, of_words in layers:
                some = untested
                for word in value or ():
                    some |= of_words[word]
                bits &= some
        return bits

    def _check(self, facts: Mapping[str, Value]) -> None:
        """Tell what value is of another kind than its fact."""
        for name in (name for each in (self._words, self._numbers, self._flags, self._lists) for name, *_ in each):
            if facts.get(name) is not None:
                check_value(fact_kinds()[name], facts[name])


def _pass(tests: Iterable[tuple[Comparison, ...]], held: frozenset[Comparison]) -> bool:
    """Tell whether every test has a comparison that the library said holds."""
    return all(not held.isdisjoint(test) for test in tests)
