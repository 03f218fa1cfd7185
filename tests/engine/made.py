"""Rules, rulebooks and questions made by hand, in a line each."""

from __future__ import annotations

import itertools
from typing import Any

from splicewright.question.model import Question
from splicewright.question.read import read_question
from splicewright.rulebook.model import Effect, Kind, Operator, Pattern, Rule, Rulebook, RuleSource, Test

_numbers = itertools.count()


def asks(name: str, operator: Operator, values: tuple[Any, ...]) -> Test:
    """Give a test with several values or none."""
    return Test(name, operator, values)


def tested(name: str, wanted: Any) -> Test:
    """Give a test: a value, a list of values (any of), or (operator, value)."""
    if isinstance(wanted, tuple):
        operator: Operator = wanted[0]
        return Test(name, operator, (wanted[1],))
    return Test(name, "any-of", tuple(wanted) if isinstance(wanted, list) else (wanted,))


def single(**tests: Any) -> Pattern:
    """Give a pattern on single facts, such as `place__exposure="wet"`."""
    return Pattern("single", tuple(tested(name.replace("__", "."), wanted) for name, wanted in tests.items()))


def conductor(**tests: Any) -> Pattern:
    """Give a pattern on one conductor, such as `material="copper"`."""
    return Pattern("conductor", tuple(tested(f"conductor.{name}", wanted) for name, wanted in tests.items()))


def condition(**words: Any) -> Pattern:
    """Give a pattern on one condition, such as `place=["wet", "damp"]`."""
    return Pattern("condition", tuple(tested(f"condition.{key}", wanted) for key, wanted in words.items()))


def rule(*when: Pattern, rule_id: str = "", says: str = "So it is.", kind: Kind = "caution", **effect: Any) -> Rule:
    """Give a rule, a caution unless said otherwise. `concludes=("place", "wet")` makes it conclude."""
    kind = "conclude" if "concludes" in effect else kind
    made_id = rule_id or f"made/rule-{next(_numbers):04}"
    return Rule(made_id, None, None, when, Effect(kind, **effect), says, RuleSource(None))


def rulebook(*rules: Rule) -> Rulebook:
    """Give a rulebook of these rules, sorted by id."""
    return Rulebook("nfpa70-2023", tuple(sorted(rules, key=lambda one: one.id)), "made")


def question(*conductors: dict[str, Any], **parts: Any) -> Question:
    """Give a question with these conductors, two 12 AWG where none are given; `parts` as in the contract."""
    joint = {"conductors": list(conductors) or [{"size": "12 AWG", "count": 2}]}
    return read_question({"joint": joint, **parts}).question
