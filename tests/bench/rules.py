"""The rules that the bench runs: those shipped, and copies of them for growth."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from splicewright.rulebook import load_rulebook
from splicewright.rulebook.model import Pattern, Rule, Rulebook

CODE = "nfpa70-2023"


def derived_rules() -> tuple[Rule, ...]:
    """Give the shipped rules that test something: those that always hold, and words for fill, are left out."""
    found = tuple(rule for rule in load_rulebook(CODE).rules if rule.when and rule.effect.kind != "refuse")
    if any(rule.effect.concludes and not rule.when for rule in load_rulebook(CODE).rules):
        raise ValueError("a rule that always holds concludes something, which the peers would not know")
    return found


def multiplied(times: int) -> Rulebook:
    """Give the shipped rulebook with each rule that tests something so many times over.

    The copies have ids and conditions of their own: each copy fires as the rule does, and chains among its own.
    """
    book = load_rulebook(CODE)
    copies = (copy for number in range(1, times) for rule in derived_rules() for copy in _copy(rule, number))
    return replace(book, rules=tuple(sorted((*book.rules, *copies), key=lambda rule: rule.id)))


def _copy(rule: Rule, number: int) -> Iterator[Rule]:
    ruleset, _, name = rule.id.partition("/")
    effect = rule.effect
    if effect.concludes:
        effect = effect._replace(concludes=(f"{effect.concludes[0]}-{number}", effect.concludes[1]))
    when = tuple(_renamed(pattern, number) if pattern.scope == "condition" else pattern for pattern in rule.when)
    yield replace(rule, id=f"{ruleset}/{name}-{number}", when=when, effect=effect)


def _renamed(pattern: Pattern, number: int) -> Pattern:
    return pattern._replace(tests=tuple(test._replace(name=f"{test.name}-{number}") for test in pattern.tests))
