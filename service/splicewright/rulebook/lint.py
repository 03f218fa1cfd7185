"""Faults that only show when the rules of a rulebook are seen together."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any

from splicewright.faults import Fault
from splicewright.question.fact_kinds import fact_kinds
from splicewright.refusals import Says, not_allowed
from splicewright.rulebook.attributes import ATTRIBUTES
from splicewright.rulebook.comparisons import impossible
from splicewright.rulebook.effects import OF_PROPOSALS
from splicewright.rulebook.excuses import excuse_faults
from splicewright.rulebook.model import FactValue, Pattern, Rule, Rulebook
from splicewright.rulebook.schema import ORDER

_MOST_WORDS = 30
PLACES = re.compile(r"\{([^{}]*)\}")
_ALWAYS_GIVEN = ("place.ambient", "joint.largest", "joint.smallest", "conductor.size")


def lint(rulebook: Rulebook) -> list[Fault]:
    """Give every fault of a rulebook: idle conditions, cycles, unfounded places in sentences, missing near misses."""
    rules = rulebook.rules
    faults = [*_conditions(rules), *_cycles(rules)]
    return sorted({*faults, *(fault for rule in rules for fault in rule_faults(rule))})


def rule_faults(rule: Rule) -> Iterator[Fault]:
    """Give every fault of a rule that shows without the others, each at the line of the part that it is in."""
    for part, says in _own_faults(rule):
        before = f"{part}: " if part else ""
        line = rule.line_of(part) if part in rule.raw else rule.line
        yield Fault(rule.file, line, rule.id, says.within(before) if isinstance(says, Says) else before + says)


def _own_faults(rule: Rule) -> Iterator[tuple[str, str]]:
    """Tell what is wrong, each with the part of the rule that it is in; empty: the rule as a whole."""
    yield from _facts_named(rule)
    yield from (("excuses", says) for says in excuse_faults(rule))
    yield from _impossible(rule)
    order = [key for key in ORDER if key in rule.raw]
    if list(rule.raw) != order:
        yield "", f"the keys of a rule stand in one order; write {', '.join(order)}"
    if (rule.when or rule.effect.kind in OF_PROPOSALS) and not rule.silent:
        yield "examples", "needs a near miss on which the rule is silent"
    words = len(rule.says.split())
    if words > _MOST_WORDS:
        yield "says", f"has {words} words; give the reason in at most {_MOST_WORDS}"
    if "{" in PLACES.sub("", rule.says) or "}" in PLACES.sub("", rule.says):
        yield "says", "has a brace that is not closed; a value of a question is written {place.exposure}"


def _impossible(rule: Rule) -> Iterator[tuple[str, str]]:
    """Tell which tests no value passes all of, so that the rule never fires, or no connector is ever taken."""
    asked: dict[tuple[object, str], list[tuple[str, tuple[Any, ...]]]] = {}
    for at, pattern in enumerate(rule.when):
        for test in pattern.tests:
            kind = fact_kinds().get(test.name)
            if kind is not None and kind.kind != "words":
                of = at if pattern.scope == "conductor" else pattern.scope
                asked.setdefault((of, test.name), []).append((test.operator, test.values))
    for (_, name), tests in asked.items():
        if impossible(tests):
            yield "when", f"no value of {name} passes all that is asked of it, so that the rule never fires"
    asked.clear()
    for one in rule.effect.tests:
        if ATTRIBUTES[one.attribute].kind != "words":
            asked.setdefault(("", one.attribute), []).append((one.operator, one.values))
    for (_, name), tests in asked.items():
        if impossible(tests):
            yield rule.effect.kind, f"no value of {name} passes all that is asked of it"


def _facts_named(rule: Rule) -> Iterator[tuple[str, str]]:
    conductors = sum(pattern.scope == "conductor" for pattern in rule.when)
    tested = {test.name for pattern in rule.when for test in pattern.tests}
    named = PLACES.findall(rule.says) + PLACES.findall(rule.effect.do or "")
    for place in named:
        group, _, leaf = place.partition(".")
        number, _, rest = leaf.partition(".")
        at = int(number) if number.isdigit() else 1
        name = f"{group}.{rest}" if number.isdigit() else place
        found = _fact_fault(f"{{{place}}}", name, tested, conductors if group == "conductor" else None, at)
        yield from (("says", says) for says in found)
    for test in rule.effect.tests:
        for value in test.values:
            if isinstance(value, FactValue):
                group = value.fact.partition(".")[0]
                found = _fact_fault(value.fact, value.fact, tested, conductors if group == "conductor" else None, 1)
                yield from (("", says) for says in found)


def _fact_fault(where: str, name: str, tested: set[str], conductors: int | None, at: int) -> Iterator[str]:
    kind = fact_kinds().get(name)
    if kind is None:
        yield not_allowed(name, fact_kinds()).within(f"{where}: ")
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
    for rule in rules:
        for pattern in rule.when:
            for key, word in _tested(pattern):
                if (key, word) not in concluded:
                    says = _unconcluded(key, word, concluded)
                    yield Fault(rule.file, rule.line_of("when"), rule.id, says)
        if rule.effect.concludes and rule.effect.concludes not in tested:
            key, word = rule.effect.concludes
            yield Fault(
                rule.file,
                rule.line,
                rule.id,
                f"no rule tests the condition {{{key}: {word}}} that this one concludes",
            )


def _unconcluded(key: str, word: str, concluded: set[tuple[str, str]]) -> Says:
    """Word that nothing concludes a condition, with the word of its key or the key that may be meant."""
    before = f"no rule concludes {{{key}: {word}}}; "
    if words := sorted(one for known, one in concluded if known == key):
        return not_allowed(word, words).within(before)
    keys = sorted({known for known, _ in concluded})
    found = not_allowed(key, keys).within(f"{before}the condition ")
    return found if found.nearest else found.within("", "; a fact of a question is tested under joint, place and so on")


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
