"""The engine itself, put to the same test as its peers: what fired, with the facts that it fired on."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from splicewright.engine import CompiledRulebook, Firing
from splicewright.engine.finding_set import numbers_of
from splicewright.question.facts import Facts
from splicewright.rulebook.model import Rule
from tests.oracle.plain import Fired


class ThisEngine:
    """The engine."""

    name = "engine"
    tells_conditions = True

    def __init__(self, rules: Sequence[Rule]) -> None:
        self._compiled = CompiledRulebook(rules)
        self._mask = self._compiled.mask(rules)

    def ask(self, facts: Facts) -> list[Firing]:
        fired = self._compiled.fired(facts, self._mask)
        return [firing for number in numbers_of(fired.fired) for firing in fired.firings(number)]  # unsorted

    def fired(self, answer: Iterable[Firing]) -> Iterable[Fired]:
        return ((firing.rule.id, firing.conductors, firing.conditions) for firing in answer)
