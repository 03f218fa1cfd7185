"""The rules as decision tables of the zen engine, a row a rule and a column a fact, every row that holds collected.

Each level of rules is a model of up to three tables: rules on single facts, and those on one conductor or on a pair,
which are looped over. A level is given the conditions that the levels before it concluded.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Any

import orjson
import zen

from splicewright.question.fact_kinds import Value, fact_kinds
from splicewright.question.facts import Facts
from splicewright.rulebook.model import Rule, Test
from tests.bench.peers.levels import Condition, levels, of_scope
from tests.oracle.plain import Fired

_OPERATORS = {"at-least": ">=", "at-most": "<=", "above": ">", "below": "<"}
_SLOTS = ("a_", "b_")  # before the columns of the first and the second conductor
_Columns = list[tuple[str, str]]  # a fact's name and its column


class DecisionTable:
    """The rules as decision tables. It does not tell which condition a row matched."""

    name = "zen decision tables"
    tells_conditions = False

    def __init__(self, rules: Sequence[Rule]) -> None:
        self._concludes = {rule.id: rule.effect.concludes for rule in rules if rule.effect.concludes}
        self._tables = [_Columned(rules, count) for count in range(len(_SLOTS) + 1)]
        engine = zen.ZenEngine()
        self._levels = [
            engine.create_decision(zen.ZenDecisionContent(_model(level, self._tables))) for level in levels(rules)
        ]

    def ask(self, facts: Facts) -> list[Fired]:
        rows = [table.rows(facts) for table in self._tables]
        (context,) = rows[0].values()
        context["looped1"], context["looped2"] = list(rows[1].values()), list(rows[2].values())
        everywhere = [context, *rows[1].values(), *rows[2].values()]
        holding: dict[str, list[str]] = {}
        found: list[Fired] = []
        for level in self._levels:
            for key, words in holding.items():
                for row in everywhere:
                    row[_column(f"condition.{key}")] = words
            result = level.evaluate(context)["result"]
            fired = [(one["rule"], (), ()) for one in result.get("table0", ())]
            for count in (1, 2):
                for conductors, some in zip(rows[count], result.get(f"table{count}", ()), strict=False):
                    fired += [(one["rule"], conductors, ()) for one in some or ()]
            for rule_id, _, _ in fired:
                if rule_id in self._concludes:
                    _hold(holding, self._concludes[rule_id])
            found += fired
        return found

    def fired(self, answer: list[Fired]) -> Iterable[Fired]:
        return answer


PEER = DecisionTable


def _hold(holding: dict[str, list[str]], condition: Condition) -> None:
    key, word = condition
    words = holding.setdefault(key, [])
    if word not in words:
        words.append(word)


class _Columned:
    """The rules with so many patterns on conductors, and the facts that they test, each with its column."""

    def __init__(self, rules: Sequence[Rule], count: int) -> None:
        self.count = count
        some = [rule for rule in rules if len(of_scope(rule)["conductor"]) == count]
        columns = {(test.name, column) for rule in some for column, tests in cells(rule).items() for test in tests}
        self._single = sorted(each for each in columns if each[0].partition(".")[0] not in ("conductor", "condition"))
        self._slots = [sorted(each for each in columns if each[1].startswith(slot)) for slot in _SLOTS[:count]]

    def rows(self, facts: Facts) -> Mapping[tuple[int, ...], dict[str, Any]]:
        """Give what to put to the table, for each choice of conductors."""
        single = _picked(self._single, facts.single)
        slots = [[_picked(slot, conductor) for conductor in facts.conductors] for slot in self._slots]
        return {
            conductors: dict(
                itertools.chain(
                    single.items(), *(slots[at][conductor].items() for at, conductor in enumerate(conductors))
                )
            )
            for conductors in itertools.permutations(range(len(facts.conductors)), self.count)
        }


def _picked(columns: _Columns, facts: Mapping[str, Value]) -> dict[str, Value]:
    return {column: value for name, column in columns if (value := facts.get(name)) is not None}


def cells(rule: Rule) -> Mapping[str, list[Test]]:
    """Give a rule's tests by column."""
    found: dict[str, list[Test]] = {}
    slots = iter(_SLOTS)
    for pattern in rule.when:
        prefix = next(slots) if pattern.scope == "conductor" else ""
        for test in pattern.tests:
            found.setdefault(prefix + _column(test.name), []).append(test)
    return found


def _column(name: str) -> str:
    """Give the column of a fact or condition: the library takes its name for a formula."""
    return name.replace(".", "_").replace("-", "_")


def _model(rules: Sequence[Rule], tables: Sequence[_Columned]) -> str:
    nodes = [{"id": each, "name": each, "type": f"{each}Node", "content": {}} for each in ("input", "output")]
    edges = []
    for table in tables:
        some = [rule for rule in rules if len(of_scope(rule)["conductor"]) == table.count]
        if some:
            name = f"table{table.count}"
            nodes.append({"id": name, "name": name, "type": "decisionTableNode", "content": _table(some, table.count)})
            edges += [_edge("input", name), _edge(name, "output")]
    return orjson.dumps({"nodes": nodes, "edges": edges}).decode()


def _edge(source: str, target: str) -> dict[str, str]:
    return {"id": f"{source}-{target}", "type": "edge", "sourceId": source, "targetId": target}


def _table(rules: Sequence[Rule], count: int) -> dict[str, Any]:
    columns = sorted({column for rule in rules for column in cells(rule)})
    empty = dict.fromkeys(columns, "")
    return {
        "hitPolicy": "collect",
        "inputs": [{"id": column, "name": column, "field": column} for column in columns],
        "outputs": [{"id": "fires", "name": "rule", "field": "rule"}],
        "rules": [
            {
                "_id": rule.id,
                "fires": _literal(rule.id),
                **empty,
                **{column: _cell(tests) for column, tests in cells(rule).items()},
            }
            for rule in rules
        ],
        "outputPath": f"table{count}",
        **({"executionMode": "loop", "inputField": f"looped{count}"} if count else {}),
    }


def _cell(tests: Sequence[Test]) -> str:
    """Write all tests of one cell: in the table's own short form where it has one."""
    if len(tests) == 1 and tests[0].operator == "any-of" and not _many(tests[0]):
        return ", ".join(map(_literal, tests[0].values))
    if len(tests) == 1 and tests[0].operator in _OPERATORS:
        return f"{_OPERATORS[tests[0].operator]} {tests[0].values[0]}"
    return " and ".join([*map(_expression, tests), *_each_its_own(tests)])


def _each_its_own(tests: Sequence[Test]) -> Iterator[str]:
    """Ask for as many conditions of a key as a rule has patterns on it, since no condition fills two of them."""
    if tests[0].name.startswith("condition."):
        for size in range(2, len(tests) + 1):
            for some in itertools.combinations(tests, size):
                words = sorted({value for test in some for value in test.values})
                yield f"count($, # in [{', '.join(map(_literal, words))}]) >= {size}"


def _expression(test: Test) -> str:
    listed = f"[{', '.join(map(_literal, test.values))}]"
    if _many(test):
        return f"some($, # in {listed})"
    if test.operator == "any-of":
        return f"$ in {listed}"
    if test.operator == "other-than":
        return f"$ != null and $ != {_literal(test.values[0])}"
    return f"$ {_OPERATORS[test.operator]} {test.values[0]}"


def _many(test: Test) -> bool:
    """Whether a fact has many words: those of a list, or of the conditions that hold."""
    return test.name.startswith("condition.") or fact_kinds()[test.name].kind == "words"


def _literal(value: object) -> str:
    return orjson.dumps(value).decode()
