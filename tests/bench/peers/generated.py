"""What a caller would write without an engine: one function full of `if`s, here written out from the rules.

The facts tested are read into local variables, each comparison is one expression, and each level of rules comes
after those that conclude what it builds on.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Iterator, Sequence
from typing import Any

from splicewright.question.fact_kinds import fact_kinds
from splicewright.question.facts import Facts
from splicewright.rulebook.model import Rule, Test
from tests.bench.peers.levels import Condition, filling, levels, of_scope
from tests.oracle.plain import Fired

_OPERATORS = {"at-least": ">=", "at-most": "<=", "above": ">", "below": "<"}
_CONDUCTORS = "abcd"  # the variables of the loops over conductors


class GeneratedIfs:
    """The rules as one Python function."""

    name = "generated ifs"
    tells_conditions = True

    def __init__(self, rules: Sequence[Rule]) -> None:
        space: dict[str, Any] = {}
        exec(compile(source(rules), "generated", "exec"), space)
        self._function = space["fired"]

    def ask(self, facts: Facts) -> list[Fired]:
        found: list[Fired] = self._function(facts.single, facts.conductors)
        return found

    def fired(self, answer: list[Fired]) -> Iterable[Fired]:
        return answer


PEER = GeneratedIfs


def source(rules: Sequence[Rule]) -> str:
    """Write the function's source."""
    lines = ["def fired(single, conductors):", "    found = []"]
    lines += [f"    {line}" for line in _reads(rules, "single", "single", "")]
    concluded = sorted({rule.effect.concludes for rule in rules if rule.effect.concludes})
    lines += [f"    {_holding(each)} = False" for each in concluded]
    for level in levels(rules):
        for count in range(len(_CONDUCTORS) + 1):
            some = [rule for rule in level if len(of_scope(rule)["conductor"]) == count]
            if some:
                lines += [f"    {line}" for line in _loops(some, count, concluded)]
    return "\n".join([*lines, "    return found", ""])


def _loops(rules: Sequence[Rule], count: int, concluded: Sequence[Condition]) -> Iterator[str]:
    """Write the rules with so many patterns on conductors, inside so many loops."""
    indent = ""
    for at in range(count):
        each = _CONDUCTORS[at]
        yield f"{indent}for {each}, of_{each} in enumerate(conductors):"
        indent += "    "
        if at:
            yield f"{indent}if {' or '.join(f'{each} == {other}' for other in _CONDUCTORS[:at])}: continue"
        yield from (indent + line for line in _reads(rules, "conductor", f"of_{each}", f"{each}_", slot=at))
    for rule in rules:
        yield from (indent + line for line in _ifs(rule, count, concluded))


def _reads(rules: Sequence[Rule], scope: str, fact: str, prefix: str, slot: int | None = None) -> Iterator[str]:
    patterns = [one for rule in rules for at, one in enumerate(of_scope(rule)[scope]) if slot in (None, at)]
    for name in sorted({test.name for pattern in patterns for test in pattern.tests}):
        missing = ", ()" if fact_kinds()[name].kind == "words" else ""
        yield f"{_variable(prefix, name)} = {fact}.get({name!r}{missing})"


def _variable(prefix: str, name: str) -> str:
    return prefix + name.replace(".", "_")


def _holding(condition: Condition) -> str:
    return "holds_" + "_".join(condition).replace("-", "_")


def _ifs(rule: Rule, count: int, concluded: Sequence[Condition]) -> Iterator[str]:
    """Write one `if` for each choice of conditions that a rule may match."""
    scopes = of_scope(rule)
    parts = [_comparison(test, "") for one in scopes["single"] for test in one.tests]
    for each, one in zip(_CONDUCTORS, scopes["conductor"], strict=False):
        parts += [_comparison(test, f"{each}_") for test in one.tests]
    conductors = "(" + "".join(f"{each}, " for each in _CONDUCTORS[:count]) + ")"
    for choice in itertools.product(*map(filling, scopes["condition"])):
        if len(set(choice)) == len(choice) and set(choice) <= set(concluded):
            yield f"if {' and '.join([*map(_holding, choice), *parts])}:"
            yield f"    found.append(({rule.id!r}, {conductors}, {choice!r}))"
            if rule.effect.concludes:
                yield f"    {_holding(rule.effect.concludes)} = True"


def _comparison(test: Test, prefix: str) -> str:
    value = _variable(prefix, test.name)
    if fact_kinds()[test.name].kind == "words":
        either = " or ".join(f"{word!r} in {value}" for word in test.values)
        return f"({either})" if len(test.values) > 1 else either
    if test.operator == "any-of":
        return f"{value} == {test.values[0]!r}" if len(test.values) == 1 else f"{value} in {test.values!r}"
    if test.operator == "other-than":
        return f"{value} is not None and {value} != {test.values[0]!r}"
    return f"{value} is not None and {value} {_OPERATORS[test.operator]} {test.values[0]!r}"
