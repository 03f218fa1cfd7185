"""What the rules can tell apart in a question: of each leaf the word, or the interval between numbers compared with.

Two questions of one pattern differ in nothing that any comparison of the rules looks at, so that an engine that
remembered patterns would know the second.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from splicewright.question.fact_kinds import Value, fact_kinds
from splicewright.question.facts import facts_of
from splicewright.question.model import Question
from splicewright.rulebook.model import Rule, Test
from tests.oracle.plain import holds


class Patterns:
    """The patterns of questions under some rules."""

    def __init__(self, rules: Iterable[Rule]) -> None:
        leaves = [kind.name for kind in fact_kinds().values() if not kind.reads]
        tests: dict[str, dict[Test, None]] = {name: {} for name in leaves}
        for rule in rules:
            for test in (test for pattern in rule.when for test in pattern.tests if test.name in tests):
                tests[test.name][test] = None
        self._tests = {name: tuple(some) for name, some in tests.items() if some}
        self._single = [name for name in self._tests if not name.startswith("conductor.")]
        self._conductor = [name for name in self._tests if name.startswith("conductor.")]
        self._known: dict[tuple[str, Value | None], int] = {}

    def of(self, question: Question) -> Any:
        """Give the pattern of a question; the order of its conductors does not matter."""
        facts = facts_of(question)
        of_conductors = sorted(self._all(self._conductor, conductor) for conductor in facts.conductors)
        return self._all(self._single, facts.single), tuple(of_conductors)

    def _all(self, names: Iterable[str], facts: Mapping[str, Value]) -> tuple[int, ...]:
        return tuple(self._passed(name, facts.get(name)) for name in names)

    def _passed(self, name: str, value: Value | None) -> int:
        """Give the tests of a leaf that a value passes, as bits."""
        found = self._known.get((name, value))
        if found is None:
            facts = {} if value is None else {name: value}
            found = sum(holds(test, facts) << at for at, test in enumerate(self._tests[name]))
            self._known[name, value] = found
        return found
