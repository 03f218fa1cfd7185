"""Rules by level: those of a level build only on conditions that lower levels conclude."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from splicewright.rulebook.model import Pattern, Rule

Condition = tuple[str, str]


def levels(rules: Sequence[Rule]) -> list[list[Rule]]:
    """Sort rules into levels. Raises ValueError for rules that wait for each other."""
    waiting = {rule.id: rule for rule in rules}
    found: list[list[Rule]] = []
    while waiting:
        open_conditions = {rule.effect.concludes for rule in waiting.values() if rule.effect.concludes}
        level = [rule for rule in waiting.values() if not open_conditions & needs(rule)]
        if not level:
            raise ValueError(f"rules that wait for each other: {sorted(waiting)}")
        found.append(level)
        for rule in level:
            del waiting[rule.id]
    return found


def needs(rule: Rule) -> set[Condition]:
    """Give every condition that can fill a pattern of a rule."""
    return {pair for pattern in rule.when if pattern.scope == "condition" for pair in filling(pattern)}


def filling(pattern: Pattern) -> list[Condition]:
    """Give the conditions that fill a pattern on conditions, concluded or not."""
    key = pattern.tests[0].name.partition(".")[2]
    return [(key, str(word)) for word in pattern.tests[0].values]


def of_scope(rule: Rule) -> Mapping[str, list[Pattern]]:
    """Give a rule's patterns by scope, in their order."""
    return {
        scope: [pattern for pattern in rule.when if pattern.scope == scope]
        for scope in ("single", "conductor", "condition")
    }
