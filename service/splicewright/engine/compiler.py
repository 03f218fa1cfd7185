"""Turns a rulebook into one definition for the library, and what is needed to put questions to it.

The library can join facts itself, but corrupts its memory when two facts that it joined are retracted. So each
rule is compiled into one pattern over one fact that carries all that it tests (`shapes.py`).
"""

from __future__ import annotations

import string
from collections.abc import Sequence
from typing import Any

import orjson

from splicewright.engine.coding import WARM_UP, base36, distinct_names
from splicewright.engine.faults import MOST_CONDITIONS, MOST_RULES, RulebookTooLarge, UnfitRulebook
from splicewright.engine.looks import Sights
from splicewright.engine.program import Case, Condition, Plan, Program
from splicewright.engine.shapes import Shape
from splicewright.question.fact_kinds import fact_kinds
from splicewright.rulebook.model import Pattern, Rule, Rulebook

RULE_LENGTH = 3  # of a rule's name in the definition


def compile_rulebook(rulebook: Rulebook) -> Program:
    """Compile the rules that the engine derives. Raises UnfitRulebook or RulebookTooLarge, naming the rule.

    Rules for `refuse` are left out: `choice/` looks them up. So is a rule that waits for a condition that no
    rule concludes.
    """
    rules = [rule for rule in rulebook.derived if rule.effect.kind != "refuse"]
    known = _known(rules)
    shapes = _shapes(rules, known)
    cases: list[Case] = []
    for shape in shapes:
        cases += shape.cases(known, len(cases))
    follows = tuple(tuple(case for case in cases if at in case.needs) for at in range(len(known)))
    laid_out = [shape.laid_out() for shape in shapes]
    kinds = tuple(kind for kind, _ in laid_out)
    start = [case for case in cases if not case.needs]
    plans: dict[str, Plan] = {}
    definition: dict[str, Any] = {WARM_UP: {"all": [{"a": {WARM_UP: 1}}]}}
    for _, patterns in laid_out:
        for rule, pattern in patterns:
            code = base36(len(plans), RULE_LENGTH)
            plans[code] = Plan(rule, _concluded(rule, known, follows))
            definition[code] = {"all": [{"a": pattern}]}
    always = tuple(rule for rule in rules if not rule.when)
    single, conductor = Sights(kind.single for kind in kinds), Sights(slot for kind in kinds for slot in kind.slots)
    picks = [(single.picks[kind.single], tuple(conductor.picks[slot] for slot in kind.slots)) for kind in kinds]
    given = dict.fromkeys(_concluded(rule, known, follows) for rule in always)
    return Program(
        definition=orjson.dumps(definition).decode(),
        plans=plans,
        always=always,
        kinds=kinds,
        cases=tuple(cases),
        of_single=tuple((one.number, picks[one.kind][0]) for one in start if not kinds[one.kind].slots),
        start=tuple(one for one in start if kinds[one.kind].slots),
        given=tuple(at for at in given if at is not None),
        follows=follows,
        single=single,
        conductor=conductor,
        picks=tuple(picks),
    )


def _known(rules: Sequence[Rule]) -> list[Condition]:
    """Give all conditions that rules conclude."""
    if len(rules) > MOST_RULES:
        raise RulebookTooLarge(rules[MOST_RULES].id, f"is one of more than {MOST_RULES} rules; leave some out")
    found: dict[Condition, None] = {}
    for rule in rules:
        if rule.effect.concludes:
            found[rule.effect.concludes] = None
        if len(found) > MOST_CONDITIONS:
            raise RulebookTooLarge(rule.id, f"concludes one of more than {MOST_CONDITIONS} conditions; share some")
    return list(found)


def _shapes(rules: Sequence[Rule], known: Sequence[Condition]) -> list[Shape]:
    names = distinct_names(string.ascii_lowercase)
    found: dict[tuple[int, int, frozenset[str]], Shape] = {}
    for rule in rules:
        conditions = [_conditions(rule, one, known) for one in rule.when if one.scope == "condition"]
        conductors = sum(one.scope == "conductor" for one in rule.when)
        if rule.when and all(conditions):
            key = (conductors, len(conditions), _looked_at(rule))
            shape = found.get(key)
            if shape is None:
                shape = found[key] = Shape(len(found), conductors, names)
            shape.add(rule, conditions)
    return list(found.values())


def _looked_at(rule: Rule) -> frozenset[str]:
    """Give the parts of a question that decide whether a rule fires: rules of one shape look at the same ones.

    So a fact says little that its rules do not ask about, and comes again in many questions (see `session.py`).
    """
    tests = [test.name for one in rule.when if one.scope != "condition" for test in one.tests]
    found = frozenset[str]().union(*(fact_kinds()[name].parts for name in tests if name in fact_kinds()))
    return frozenset("circuit" if one == "work" else one for one in found)  # few kinds of either


def _conditions(rule: Rule, pattern: Pattern, known: Sequence[Condition]) -> frozenset[int]:
    """Give the conditions that pass all tests of a pattern, of those that some rule concludes, by place."""
    found = set(range(len(known)))
    for test in pattern.tests:
        scope, _, key = test.name.partition(".")
        if scope != "condition" or test.operator != "any-of":
            raise UnfitRulebook(rule.id, f"{test.name} cannot be tested by {test.operator}; write the words meant")
        found = {at for at in found if known[at][0] == key and known[at][1] in test.values}
    return frozenset(found)


def _concluded(rule: Rule, known: Sequence[Condition], follows: Sequence[tuple[Case, ...]]) -> int | None:
    """Give the place of the condition that a rule concludes, unless nothing follows from it."""
    at = None if rule.effect.concludes is None else known.index(rule.effect.concludes)
    return at if at is not None and follows[at] else None
