"""Turns a rulebook into one definition for the library, and what is needed to put questions to it.

One fact never fills two patterns of a rule. So all tests on single facts become one pattern over one flat
fact; each pattern on a conductor takes a conductor of its own, each on a condition a condition of its own.
"""

from __future__ import annotations

import string
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import orjson

from splicewright.engine.coding import WARM_UP, Coding, Comparison, base36, distinct_names
from splicewright.engine.faults import (
    MOST_CONDITIONS,
    MOST_CONDUCTOR_PATTERNS,
    MOST_PATTERNS,
    MOST_PROPERTIES,
    MOST_RULES,
    RulebookTooLarge,
    UnfitRulebook,
)
from splicewright.engine.network import Network, Tests, lay_out
from splicewright.engine.program import (
    ID_LENGTH,
    ID_MARK,
    SID,
    Asserted,
    Condition,
    Plan,
    Program,
    Written,
    condition_id,
    retraction,
)

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from splicewright.rulebook.model import Pattern, Rule, Rulebook


@dataclass(frozen=True, slots=True)
class _Shape:
    """One rule's patterns, coded and merged; the conditions that may fill a pattern by their places."""

    rule: Rule
    single: Tests | None
    conditions: tuple[frozenset[int], ...]
    conductors: tuple[Tests, ...]


@dataclass(frozen=True, slots=True)
class _Layout:
    """Where the patterns of each kind of fact hang. `lists` has the comparison for each list of words."""

    single: Network
    conductor: Network
    condition: Network
    lists: Mapping[frozenset[int], Tests]

    def patterns(self, shape: _Shape) -> list[dict[str, Any]]:
        """Write a rule's patterns: what is least often true first, so that little is joined in vain."""
        single = [] if shape.single is None else [self.single.pattern(shape.single)]
        conditions = [self.condition.pattern(self.lists[one]) for one in shape.conditions]
        return [*single, *conditions, *(self.conductor.pattern(tests) for tests in shape.conductors)]


def compile_rulebook(rulebook: Rulebook) -> Program:
    """Compile the rules that the engine derives. Raises UnfitRulebook or RulebookTooLarge, naming the rule.

    Rules for `refuse` are left out: `choice/` looks them up. So is a rule that waits for a condition that no
    rule concludes.
    """
    rules = [rule for rule in rulebook.rules if rule.effect.kind != "refuse"]
    known = _known(rules)
    names = distinct_names(string.ascii_lowercase)
    single, conductor = Coding(names), Coding(names)
    shapes = [_shape(rule, known, single, conductor) for rule in rules if rule.when]
    living = [shape for shape in shapes if all(shape.conditions)]
    layout = _layout(living, names)
    definition: dict[str, Any] = {WARM_UP: {"all": [{"a": {WARM_UP: 1}}]}}
    plans = {}
    for at, shape in enumerate(living):
        code = base36(at, ID_LENGTH)
        slots = zip(string.ascii_lowercase, layout.patterns(shape), strict=False)
        definition[code] = {"all": [{letter: pattern} for letter, pattern in slots]}
        concludes = _concluded(shape.rule, known, layout)
        plans[code] = Plan(shape.rule, shape.single is not None, len(shape.conditions), concludes)
    always = tuple(rule for rule in rules if not rule.when)
    given = dict.fromkeys(_concluded(rule, known, layout) for rule in always)
    return Program(
        definition=orjson.dumps(definition).decode(),
        plans=plans,
        always=always,
        conditions=tuple(_asserted(at, condition, rules, layout) for at, condition in enumerate(known)),
        given=tuple(at for at in given if at is not None),
        flat=_written(layout.single, single, rules),
        conductor=_written(layout.conductor, conductor, rules),
    )


def _known(rules: Sequence[Rule]) -> list[Condition]:
    """Give all conditions that rules conclude."""
    if len(rules) > MOST_RULES:
        raise RulebookTooLarge(
            rules[MOST_RULES].id, f"is one of more than {MOST_RULES} rules; leave some out"
        )
    found: dict[Condition, None] = {}
    for rule in rules:
        if rule.effect.concludes:
            found[rule.effect.concludes] = None
        if len(found) > MOST_CONDITIONS:
            raise RulebookTooLarge(
                rule.id, f"more than {MOST_CONDITIONS} conditions are concluded; let rules share some"
            )
    return list(found)


def _shape(rule: Rule, known: Sequence[Condition], single: Coding, conductor: Coding) -> _Shape:
    merged: Tests | None = None
    conditions, conductors = [], []
    for pattern in rule.when:
        if pattern.scope == "condition":
            conditions.append(_conditions(rule, pattern, known))
        elif pattern.scope == "conductor":
            conductors.append(_tests(rule, pattern, conductor))
        else:
            merged = (merged or frozenset()) | _tests(rule, pattern, single)
    count = (merged is not None) + len(conditions) + len(conductors)
    if count > MOST_PATTERNS:
        raise RulebookTooLarge(
            rule.id,
            f"{count} patterns; write at most {MOST_PATTERNS}, or conclude a condition from some of them",
        )
    if len(conductors) > MOST_CONDUCTOR_PATTERNS:
        raise RulebookTooLarge(
            rule.id,
            f"{len(conductors)} conductors; write at most {MOST_CONDUCTOR_PATTERNS}, or use a measure",
        )
    return _Shape(rule, merged, tuple(conditions), tuple(conductors))


def _tests(rule: Rule, pattern: Pattern, coding: Coding) -> Tests:
    for test in pattern.tests:
        if (pattern.scope == "conductor") != test.name.startswith("conductor."):
            raise UnfitRulebook(
                rule.id, f"{test.name} is tested on another kind of fact; write it in a pattern of its own"
            )
    return frozenset(coding.comparison(rule.id, test) for test in pattern.tests)


def _conditions(rule: Rule, pattern: Pattern, known: Sequence[Condition]) -> frozenset[int]:
    """Give the conditions that pass all tests of a pattern, of those that some rule concludes."""
    found = set(range(len(known)))
    for test in pattern.tests:
        scope, _, key = test.name.partition(".")
        if scope != "condition" or test.operator != "any-of":
            raise UnfitRulebook(
                rule.id, f"{test.name} cannot be tested by {test.operator}; write the words meant"
            )
        found = {at for at in found if known[at][0] == key and known[at][1] in test.values}
    return frozenset(found)


def _layout(living: Sequence[_Shape], names: Iterator[str]) -> _Layout:
    lists = {
        conditions: frozenset({Comparison(next(names), "$eq", 1)})
        for conditions in dict.fromkeys(conditions for shape in living for conditions in shape.conditions)
    }
    return _Layout(
        single=lay_out(((one.rule.id, one.single) for one in living if one.single is not None), names),
        conductor=lay_out(((one.rule.id, tests) for one in living for tests in one.conductors), names),
        condition=lay_out(
            ((one.rule.id, lists[conditions]) for one in living for conditions in one.conditions), names
        ),
        lists=lists,
    )


def _asserted(at: int, condition: Condition, rules: Sequence[Rule], layout: _Layout) -> Asserted:
    paths = [layout.condition.paths[tests] for conditions, tests in layout.lists.items() if at in conditions]
    props = dict.fromkeys(comparison.prop for path in paths for comparison in path)
    if len(props) + 2 > MOST_PROPERTIES:
        rule = next(rule for rule in rules if rule.effect.concludes == condition)
        raise RulebookTooLarge(
            rule.id, "its condition stands in too many different lists; let rules share some"
        )
    text = f'{ID_MARK}{condition_id(at)}","sid":"{SID}"' + "".join(f',"{prop}":1' for prop in props) + "}"
    return Asserted(condition, text, retraction(condition_id(at)))


def _concluded(rule: Rule, known: Sequence[Condition], layout: _Layout) -> int | None:
    """Give the condition that a rule concludes, unless nothing tests it."""
    if rule.effect.concludes is None:
        return None
    at = known.index(rule.effect.concludes)
    return at if any(at in conditions for conditions in layout.lists) else None


def _written(network: Network, coding: Coding, rules: Sequence[Rule]) -> Written:
    fragments = coding.fragments()
    most = 2 + len(network.gates) + sum(one.most() for _, one in fragments)
    if most > MOST_PROPERTIES:
        widest = max(rules, key=lambda rule: sum(len(pattern.tests) for pattern in rule.when))
        raise RulebookTooLarge(
            widest.id,
            f"is one of too many: {most} different comparisons, over {MOST_PROPERTIES}; let lists be alike",
        )
    return Written(f'","sid":"{SID}"' + "".join(f',"{gate}":1' for gate in network.gates), fragments)
