"""Faults that only show when the rules of a rulebook are seen together."""

from __future__ import annotations

import re
from collections.abc import Iterator

from splicewright.faults import Fault
from splicewright.question.fact_kinds import fact_kinds
from splicewright.refusals import not_allowed
from splicewright.rulebook.effects import OF_PROPOSALS
from splicewright.rulebook.excuses import excuse_faults
from splicewright.rulebook.model import FactValue, Pattern, Rule, Rulebook
from splicewright.rulebook.schema import ORDER

PLACES = re.compile(r"\{([^{}]*)\}")
_ALWAYS_GIVEN = ("place.ambient", "joint.largest", "joint.smallest", "conductor.size")


def lint(rulebook: Rulebook) -> list[Fault]:
    """Give every fault of a rulebook: idle conditions, cycles, unfounded places in sentences, missing near misses."""
    rules = rulebook.rules
    faults = [*_conditions(rules), *_cycles(rules)]
    for rule in rules:
        faults += [Fault(rule.file, rule.line, rule.id, says) for says in _own_faults(rule)]
    return sorted(set(faults))


def _own_faults(rule: Rule) -> Iterator[str]:
    yield from _facts_named(rule)
    yield from excuse_faults(rule)
    order = [key for key in ORDER if key in rule.raw]
    if list(rule.raw) != order:
        yield f"the keys of a rule stand in one order; write {', '.join(order)}"
    if (rule.when or rule.effect.kind in OF_PROPOSALS) and not rule.silent:
        yield "examples: needs a near miss on which the rule is silent"
    words = len(rule.says.split())
    if words > 30:
        yield f"says: has {words} words; give the reason in at most 30"


def _facts_named(rule: Rule) -> Iterator[str]:
    conductors = sum(pattern.scope == "conductor" for pattern in rule.when)
    tested = {test.name for pattern in rule.when for test in pattern.tests}
    named = PLACES.findall(rule.says) + PLACES.findall(rule.effect.do or "")
    for place in named:
        group, _, leaf = place.partition(".")
        number, _, rest = leaf.partition(".")
        at = int(number) if number.isdigit() else 1
        name = f"{group}.{rest}" if number.isdigit() else place
        yield from _fact_fault(f"says: {{{place}}}", name, tested, conductors if group == "conductor" else None, at)
    for test in rule.effect.tests:
        for value in test.values:
            if isinstance(value, FactValue):
                group = value.fact.partition(".")[0]
                yield from _fact_fault(value.fact, value.fact, tested, conductors if group == "conductor" else None, 1)


def _fact_fault(where: str, name: str, tested: set[str], conductors: int | None, at: int) -> Iterator[str]:
    kind = fact_kinds().get(name)
    if kind is None:
        yield f"{where}: {not_allowed(name, fact_kinds())}"
    elif conductors is not None and conductors < at:
        yield f"{where}: no conductor pattern in `when` gives it a value"
    elif kind.kind not in ("word", "words", "flag", "count") and name not in tested and name not in _ALWAYS_GIVEN:
        yield f"{where}: may be absent; test {name} in `when`, so that the rule fires only where it has a value"


def condition_names(rule: Rule) -> set[tuple[str, str]]:
    """Give the conditions that a rule waits for, each as its key and word."""
    return {pair for pattern in rule.when for pair in _tested(pattern)}


def _tested(pattern: Pattern) -> Iterator[tuple[str, str]]:
    if pattern.scope == "condition":
        for test in pattern.tests:
            for word in test.values:
                yield test.name.partition(".")[2], str(word)


def _conditions(rules: tuple[Rule, ...]) -> Iterator[Fault]:
    concluded = {rule.effect.concludes for rule in rules if rule.effect.concludes}
    tested = {pair for rule in rules for pattern in rule.when for pair in _tested(pattern)}
    known = sorted(f"{key}: {word}" for key, word in concluded)
    for rule in rules:
        for pattern in rule.when:
            for key, word in _tested(pattern):
                if (key, word) not in concluded:
                    says = f"no rule concludes {{{key}: {word}}}; {not_allowed(f'{key}: {word}', known)}"
                    yield Fault(rule.file, rule.line, rule.id, says)
        if rule.effect.concludes and rule.effect.concludes not in tested:
            key, word = rule.effect.concludes
            yield Fault(
                rule.file,
                rule.line,
                rule.id,
                f"no rule tests the condition {{{key}: {word}}} that this one concludes",
            )


def _cycles(rules: tuple[Rule, ...]) -> Iterator[Fault]:
    leads: dict[tuple[str, str], set[tuple[str, str]]] = {}
    for rule in rules:
        if rule.effect.concludes:
            for pattern in rule.when:
                for pair in _tested(pattern):
                    leads.setdefault(pair, set()).add(rule.effect.concludes)
    for rule in rules:
        target = rule.effect.concludes
        if target and any(pair in _reached(target, leads) for pattern in rule.when for pair in _tested(pattern)):
            yield Fault(
                rule.file,
                rule.line,
                rule.id,
                f"concludes {{{target[0]}: {target[1]}}} from itself, by way of other rules",
            )


def _reached(start: tuple[str, str], leads: dict[tuple[str, str], set[tuple[str, str]]]) -> set[tuple[str, str]]:
    found, todo = set(), [start]
    while todo:
        pair = todo.pop()
        if pair not in found:
            found.add(pair)
            todo += leads.get(pair, ())
    return found
