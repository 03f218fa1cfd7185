"""Rules read for compiling: what each of their patterns asks, checked, and rules grouped by what must match at once."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import NamedTuple

from splicewright.engine.fact_encoding import Comparison, Tests, comparisons_of
from splicewright.engine.faults import (
    MOST_CHOICES,
    MOST_COMPARED,
    MOST_COMPARISONS,
    MOST_CONDITIONS,
    MOST_CONDUCTOR_PATTERNS,
    MOST_PATTERNS,
    RulebookTooLarge,
    UnfitRulebook,
)
from splicewright.rulebook.model import Pattern, Rule

Condition = tuple[str, str]  # key and word


class Firing(NamedTuple):
    """One firing of a rule.

    `conductors` has an index into `Facts.conductors` for each conductor pattern, `conditions` the key and
    word matched by each condition pattern, both in the rule's order.
    """

    rule: Rule
    conductors: tuple[int, ...] = ()
    conditions: tuple[Condition, ...] = ()


class ConditionFilling(NamedTuple):
    """Conditions, by place, that fill the patterns of a rule on conditions, in their order.

    `firing` is that of the rule where it matches no conductor.
    """

    places: tuple[int, ...]
    needs: int  # the same as bits
    firing: Firing


class RulePatterns(NamedTuple):
    """What a rule asks: of the single facts, of each conductor chosen, and which choices of conditions fill the rest.

    A rule that asks for no condition has one choice, of none. One that waits for what no rule concludes has no choice.
    """

    rule: Rule
    single: Tests
    conductors: tuple[Tests, ...]
    choices: tuple[ConditionFilling, ...]
    concludes: int | None  # by place

    @property
    def tests(self) -> Iterator[Tests]:
        """All that it asks of facts."""
        yield self.single
        yield from self.conductors


def concluded(rules: Iterable[Rule]) -> list[Condition]:
    """Give all conditions that rules conclude. Raises RulebookTooLarge."""
    found: dict[Condition, None] = {}
    for rule in rules:
        if rule.effect.concludes:
            found[rule.effect.concludes] = None
        if len(found) > MOST_CONDITIONS:
            raise RulebookTooLarge(rule.id, f"concludes one of more than {MOST_CONDITIONS} conditions; share some")
    return list(found)


def read_patterns(rules: Sequence[Rule], known: Sequence[Condition]) -> list[RulePatterns]:
    """Read the patterns of rules.

    Raises UnfitRulebook or RulebookTooLarge, naming the rule.
    """
    compared: dict[str, set[Comparison]] = {}
    places = {condition: at for at, condition in enumerate(known)}
    found = [_read(rule, places) for rule in rules]
    for one in found:
        for comparison in itertools.chain.from_iterable(itertools.chain.from_iterable(one.tests)):
            of_fact = compared.setdefault(comparison.name, set())
            of_fact.add(comparison)
            if len(of_fact) > MOST_COMPARED:
                raise RulebookTooLarge(
                    one.rule.id,
                    f"makes one of more than {MOST_COMPARED} comparisons with {comparison.name}; let limits be alike",
                )
    return found


def _read(rule: Rule, known: Mapping[Condition, int]) -> RulePatterns:
    by_scope: dict[str, list[Pattern]] = {"single": [], "conductor": [], "condition": []}
    for pattern in rule.when:
        by_scope[pattern.scope].append(pattern)
    fillings = [_filling(rule, pattern, known) for pattern in by_scope["condition"]]
    concludes = None if rule.effect.concludes is None else known[rule.effect.concludes]
    if not all(fillings):
        return RulePatterns(rule, frozenset(), (), (), concludes)
    _check_count(rule, len(by_scope["conductor"]))
    single = frozenset[tuple[Comparison, ...]]().union(*(_tests(rule, pattern) for pattern in by_scope["single"]))
    conductors = tuple(_tests(rule, pattern) for pattern in by_scope["conductor"])
    count = len(single) + sum(map(len, conductors)) + len(fillings)
    if count > MOST_COMPARISONS:
        raise RulebookTooLarge(rule.id, f"{count} comparisons; write at most {MOST_COMPARISONS}, or two rules")
    return RulePatterns(rule, single, conductors, _choices(rule, fillings, list(known)), concludes)


def _choices(rule: Rule, fillings: Sequence[Sequence[int]], known: Sequence[Condition]) -> tuple[ConditionFilling, ...]:
    """Give each choice of different conditions, one for each pattern."""
    if math.prod(map(len, fillings)) > MOST_CHOICES:
        raise RulebookTooLarge(
            rule.id, "its conditions can be met in too many ways; conclude one condition from some of them"
        )
    return tuple(
        ConditionFilling(places, sum(1 << at for at in places), Firing(rule, (), tuple(known[at] for at in places)))
        for places in itertools.product(*fillings)
        if len(set(places)) == len(places)
    )


def _filling(rule: Rule, pattern: Pattern, known: Mapping[Condition, int]) -> list[int]:
    """Give the conditions that pass all tests of a pattern, of those that some rule concludes, by place."""
    found = known
    for test in pattern.tests:
        scope, _, key = test.name.partition(".")
        if scope != "condition" or test.operator != "any-of":
            raise UnfitRulebook(rule.id, f"{test.name} cannot be tested by {test.operator}; write the words meant")
        found = {one: at for one, at in found.items() if one[0] == key and one[1] in test.values}
    return sorted(found.values())


def _check_count(rule: Rule, conductors: int) -> None:
    if conductors > MOST_CONDUCTOR_PATTERNS:
        raise RulebookTooLarge(
            rule.id,
            f"{conductors} patterns on conductors; write at most {MOST_CONDUCTOR_PATTERNS}, or a measure",
        )
    if len(rule.when) > MOST_PATTERNS:
        raise RulebookTooLarge(
            rule.id, f"{len(rule.when)} patterns; write at most {MOST_PATTERNS}, or conclude a condition from some"
        )


def _tests(rule: Rule, pattern: Pattern) -> Tests:
    for test in pattern.tests:
        if (pattern.scope == "conductor") != test.name.startswith("conductor."):
            raise UnfitRulebook(rule.id, f"{test.name} is of another kind of fact; write it in its own pattern")
    return frozenset(tuple(sorted(set(comparisons_of(rule.id, test)))) for test in pattern.tests)


class RuleGroups(NamedTuple):
    """Rules grouped by what must match at once: so many conductors, so many conditions. Each group is a mask."""

    of_joint: int
    of_conductor: int
    of_pair: int
    of_no_condition: int
    of_condition: tuple[int, ...]  # by place: the rules whose one pattern on conditions it fills
    of_conditions: int

    @classmethod
    def of(cls, patterns: Sequence[RulePatterns], conditions: int) -> RuleGroups:
        """Group rules by their places, of which each is a bit. Those that can never fire wait for no condition."""
        by_conductors = [0] * (MOST_CONDUCTOR_PATTERNS + 1)
        none, several, single = 0, 0, [0] * conditions
        for number, pattern in enumerate(patterns):
            bit = 1 << number
            by_conductors[len(pattern.conductors)] |= bit
            for choice in pattern.choices:
                if not choice.places:
                    none |= bit
                elif len(choice.places) == 1:
                    single[choice.places[0]] |= bit
                else:
                    several |= bit
        joint, conductor, pair = by_conductors
        return cls(joint, conductor, pair, none, tuple(single), several)
