"""Lays the patterns of one kind of fact out behind gates, so that the library's tables and its stack suffice.

A gate is a property that every fact of the kind carries; each pattern begins with one. Behind a gate,
patterns share what they begin with. The library tries all comparisons that follow one that held, and keeps
those that hold on a stack of 64.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from splicewright.engine.coding import Comparison
from splicewright.engine.faults import (
    MOST_ALIKE,
    MOST_BRANCHES,
    MOST_COMPARISONS,
    MOST_PENDING,
    RulebookTooLarge,
)

Tests = frozenset[Comparison]


@dataclass(frozen=True, slots=True)
class Network:
    """Where each pattern of one kind of fact hangs: its gate and its comparisons in order."""

    gates: tuple[str, ...]
    paths: Mapping[Tests, tuple[Comparison, ...]]

    def pattern(self, tests: Tests) -> dict[str, Any]:
        """Write a pattern as the library reads it."""
        path = [comparison.plain() for comparison in self.paths[tests]]
        return path[0] if len(path) == 1 else {"$and": path}


def lay_out(patterns: Iterable[tuple[str, Tests]], names: Iterator[str]) -> Network:
    """Spread patterns, each with its rule's id, over gates. Raises RulebookTooLarge where they do not fit."""
    alike: Counter[Tests] = Counter()
    rules: dict[Tests, str] = {}
    for rule, tests in patterns:
        if len(tests) > MOST_COMPARISONS:
            raise RulebookTooLarge(
                rule,
                f"{len(tests)} comparisons; write at most {MOST_COMPARISONS}, or two rules",
            )
        rules[tests] = rule
        alike[tests] += 1
        if alike[tests] > MOST_ALIKE:
            raise RulebookTooLarge(
                rule,
                f"more than {MOST_ALIKE} rules test just this; conclude a condition from it in one",
            )
    gates = [next(names) for _ in range(math.isqrt(len(alike)))]
    paths = _gated(_ordered(alike), gates)
    _check(paths, rules)
    return Network(tuple(gates), paths)


def _ordered(alike: Counter[Tests]) -> dict[Tests, list[Comparison]]:
    """Put the comparisons that most patterns have in common first, and equalities before all others."""
    common = Counter(comparison for tests in alike for comparison in tests)
    return {tests: sorted(tests, key=lambda one: (one.operator != "$eq", -common[one], one)) for tests in alike}


def _gated(ordered: dict[Tests, list[Comparison]], gates: list[str]) -> dict[Tests, tuple[Comparison, ...]]:
    families: dict[Comparison | None, list[Tests]] = {}
    for tests, path in ordered.items():
        families.setdefault(path[0] if path else None, []).append(tests)
    load = dict.fromkeys(gates, 0)
    found = {}
    for family in sorted(families.values(), key=len, reverse=True):
        gate = min(gates, key=lambda one: load[one])
        load[gate] += len(family)
        for tests in family:
            found[tests] = (Comparison(gate, "$eq", 1), *ordered[tests])
    return found


@dataclass(slots=True)
class _Node:
    """A comparison that some patterns share; `rule` has one of them."""

    rule: str
    follow: dict[Comparison, _Node]

    def pending(self) -> int:
        """Give the most comparisons that can wait at once while what follows this one is tried.

        A property has one value, so that of all equalities with it at most one holds.
        """
        held = len({one.prop if one.operator == "$eq" else one for one in self.follow})
        return max(held, held - 1 + max((node.pending() for node in self.follow.values()), default=0))


def _check(paths: Mapping[Tests, tuple[Comparison, ...]], rules: Mapping[Tests, str]) -> None:
    top = _Node("", {})
    for tests, path in paths.items():
        node = top
        for comparison in path:
            follow = node.follow.setdefault(comparison, _Node(rules[tests], {}))
            if len(node.follow) > MOST_BRANCHES:
                raise RulebookTooLarge(
                    rules[tests], "too many patterns go on from what it tests; conclude a condition from it"
                )
            node = follow
    if top.pending() > MOST_PENDING:
        worst = max(top.follow.values(), key=_Node.pending)
        raise RulebookTooLarge(worst.rule, "too many patterns can hold at once; write conditions that rules share")
