"""A second, plain evaluator: a loop over the rules until nothing new follows. No library, nothing precomputed.

It shares no code with `engine/`. Where the two differ, one of them is wrong.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Iterator, Mapping

from splicewright.question.fact_kinds import Value
from splicewright.question.facts import Facts
from splicewright.rulebook.model import Pattern, Rule, Test

Fired = tuple[str, tuple[int, ...], tuple[tuple[str, str], ...]]  # rule id, conductors, conditions


def holds(test: Test, facts: Mapping[str, Value]) -> bool:
    """Tell whether one comparison is true of a fact; of an absent one none is."""
    value, wanted = facts.get(test.name), test.values
    if value is None:
        return False
    if test.operator == "any-of":
        return any(one in wanted for one in value) if isinstance(value, tuple) else value in wanted
    if test.operator == "other-than":
        return value != wanted[0]
    assert isinstance(value, int)
    assert isinstance(wanted[0], int)
    return {
        "at-least": value >= wanted[0],
        "at-most": value <= wanted[0],
        "above": value > wanted[0],
        "below": value < wanted[0],
    }[test.operator]


def matches(pattern: Pattern, facts: Mapping[str, Value]) -> bool:
    """Tell whether one fact passes all tests of a pattern."""
    return all(holds(test, facts) for test in pattern.tests)


def fillings(rule: Rule, facts: Facts, conditions: Iterable[tuple[str, str]]) -> Iterator[Fired]:
    """Give each way in which facts fill the rule's patterns, no conductor and no condition filling two."""
    if not all(matches(one, facts.single) for one in rule.when if one.scope == "single"):
        return
    of_conductors = [one for one in rule.when if one.scope == "conductor"]
    of_conditions = [one for one in rule.when if one.scope == "condition"]
    for indexes in itertools.permutations(range(len(facts.conductors)), len(of_conductors)):
        if not all(
            matches(conductor, facts.conductors[at]) for conductor, at in zip(of_conductors, indexes, strict=True)
        ):
            continue
        for found in itertools.permutations(conditions, len(of_conditions)):
            named = [{f"condition.{key}": word} for key, word in found]
            if all(matches(condition, fact) for condition, fact in zip(of_conditions, named, strict=True)):
                yield rule.id, indexes, found


def evaluate(rules: Iterable[Rule], facts: Facts) -> set[Fired]:
    """Give every firing of every rule, those for `refuse` left out."""
    rules = [rule for rule in rules if rule.effect.kind != "refuse"]
    conditions: list[tuple[str, str]] = []
    while True:
        fired = {filling for rule in rules for filling in fillings(rule, facts, conditions)}
        firing = {rule_id for rule_id, _, _ in fired}
        follows = {rule.effect.concludes for rule in rules if rule.id in firing and rule.effect.concludes}
        if follows <= set(conditions):
            return fired
        conditions = sorted(follows.union(conditions))
