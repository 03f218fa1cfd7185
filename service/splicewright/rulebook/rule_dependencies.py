"""What each rule rests on in the end: the given facts behind its measures and behind the conditions it tests."""

from __future__ import annotations

from collections.abc import Mapping

from splicewright.question.fact_kinds import fact_kinds
from splicewright.rulebook.model import Rule, Rulebook


def given_behind(rulebook: Rulebook) -> Mapping[str, frozenset[str]]:
    """Give for each rule's id the names of all given facts (`place.exposure`) that can make it fire or fall silent.

    A rule that tests none of the facts that a change touches stays as it was.
    """
    concluding: dict[str, list[Rule]] = {}
    for rule in rulebook.rules:
        if rule.effect.concludes:
            key, word = rule.effect.concludes
            concluding.setdefault(f"{key}: {word}", []).append(rule)
    found: dict[str, frozenset[str]] = {}
    for rule in rulebook.rules:
        seen, todo, names = {rule.id}, [rule], set()
        while todo:
            own, conditions = _tested(todo.pop())
            names |= own
            behind = [one for condition in conditions for one in concluding.get(condition, ()) if one.id not in seen]
            seen.update(one.id for one in behind)
            todo += behind
        found[rule.id] = frozenset(names)
    return found


def _tested(rule: Rule) -> tuple[set[str], set[str]]:
    """Give the given facts that a rule tests, by itself or by a measure, and the conditions that it tests."""
    names: set[str] = set()
    conditions: set[str] = set()
    for pattern in rule.when:
        for test in pattern.tests:
            if pattern.scope == "condition":
                conditions.update(f"{test.name.partition('.')[2]}: {word}" for word in test.values)
            else:
                names.update(fact_kinds()[test.name].reads or (test.name,))
    return names, conditions
