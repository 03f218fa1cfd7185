"""Rules with as many patterns on conductors and on conditions: they are put to facts of one kind.

One fact never fills two patterns of a rule. So a fact is written for each choice of different conductors, and of
different conditions, in their order; all tests of a rule are put to one such fact.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Sequence
from typing import Any

from splicewright.engine.coding import Coding, Comparison
from splicewright.engine.faults import (
    MOST_CASES,
    MOST_CONDUCTOR_PATTERNS,
    MOST_PATTERNS,
    MOST_PROPERTIES,
    RulebookTooLarge,
    UnfitRulebook,
)
from splicewright.engine.looks import Side
from splicewright.engine.network import Tests, lay_out
from splicewright.engine.program import SID, Case, Condition, Kind
from splicewright.engine.telling import Told
from splicewright.rulebook.model import Pattern, Rule


class Shape:
    """The rules of one shape, taken in one by one, and what they have in common."""

    def __init__(self, kind: int, conductors: int, names: Iterator[str]) -> None:
        self._kind = kind
        self._names = names
        self._single = Coding(names)
        self._slots = [Coding(names) for _ in range(conductors)]
        self._lists: dict[tuple[int, frozenset[int]], Comparison] = {}
        self._choices: dict[tuple[int, ...], None] = {}
        self._rules: list[tuple[Rule, Tests]] = []
        self._told: list[Told] = []

    def add(self, rule: Rule, conditions: Sequence[frozenset[int]]) -> None:
        """Take in a rule. `conditions` are those that may fill each of its patterns on conditions, by place."""
        _check_patterns(rule, len(self._slots))
        slots = iter(self._slots)
        tests: set[Comparison] = set()
        for pattern in rule.when:
            if pattern.scope != "condition":
                coding = next(slots) if pattern.scope == "conductor" else self._single
                tests |= _tests(rule, pattern, coding)
        for slot, listed in enumerate(conditions):
            if (slot, listed) not in self._lists:
                self._lists[slot, listed] = Comparison(next(self._names), "$eq", 1)
            tests.add(self._lists[slot, listed])
        self._rules.append((rule, frozenset(tests)))
        self._told.append(Told.by(rule))
        if math.prod(map(len, conditions)) <= MOST_CASES:
            self._choices.update(dict.fromkeys(_distinct(itertools.product(*map(sorted, conditions)))))
        if math.prod(map(len, conditions)) > MOST_CASES or len(self._choices) > MOST_CASES:
            raise RulebookTooLarge(
                rule.id, "its conditions can be met in too many ways; conclude one condition from some of them"
            )

    def cases(self, known: Sequence[Condition], first: int) -> Iterator[Case]:
        """Give each choice of conditions that facts are written for; one of none where the rules test none.

        They are numbered from `first`.
        """
        for number, choice in enumerate(self._choices, first):
            flags = (one.prop for (slot, listed), one in self._lists.items() if choice[slot] in listed)
            yield Case(
                self._kind,
                number,
                frozenset(choice),
                tuple(known[at] for at in choice),
                "".join(f',"{prop}":1' for prop in flags),
            )

    def laid_out(self) -> tuple[Kind, list[tuple[Rule, dict[str, Any]]]]:
        """Give how the facts are written, and each rule's pattern."""
        network = lay_out(((rule.id, tests) for rule, tests in self._rules), self._names)
        single, slots = self._single.coded(), tuple(slot.coded() for slot in self._slots)
        most = 2 + len(network.gates) + len(self._lists)
        most += sum(fragments.most() for coded in (single, *slots) for _, fragments in coded)
        if most > MOST_PROPERTIES:
            widest = max(self._rules, key=lambda each: len(each[1]))[0]
            raise RulebookTooLarge(
                widest.id,
                f"is one of too many: {most} different comparisons, over {MOST_PROPERTIES}; let lists be alike",
            )
        gates = "".join(f',"{gate}":1' for gate in network.gates)
        told = self._told
        of_single = Side(
            single,
            itertools.chain.from_iterable(one.single for one in told),
            itertools.chain.from_iterable(one.every for one in told),
        )
        of_slots = [
            Side(coded, itertools.chain.from_iterable(one.matched[at] for one in told))
            for at, coded in enumerate(slots)
        ]
        kind = Kind(f'","sid":"{SID}"{gates}', of_single, tuple(of_slots))
        return kind, [(rule, network.pattern(tests)) for rule, tests in self._rules]


def _distinct(choices: Iterator[tuple[int, ...]]) -> Iterator[tuple[int, ...]]:
    return (choice for choice in choices if len(set(choice)) == len(choice))


def _check_patterns(rule: Rule, conductors: int) -> None:
    if conductors > MOST_CONDUCTOR_PATTERNS:
        raise RulebookTooLarge(
            rule.id,
            f"{conductors} patterns on conductors; write at most {MOST_CONDUCTOR_PATTERNS}, or a measure",
        )
    if len(rule.when) > MOST_PATTERNS:
        raise RulebookTooLarge(
            rule.id, f"{len(rule.when)} patterns; write at most {MOST_PATTERNS}, or conclude a condition from some"
        )


def _tests(rule: Rule, pattern: Pattern, coding: Coding) -> set[Comparison]:
    for test in pattern.tests:
        if (pattern.scope == "conductor") != test.name.startswith("conductor."):
            raise UnfitRulebook(rule.id, f"{test.name} is of another kind of fact; write it in its own pattern")
    return {coding.comparison(rule.id, test) for test in pattern.tests}
