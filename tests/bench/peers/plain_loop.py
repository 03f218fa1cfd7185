"""The plain evaluator of `tests/oracle`: a loop over the rules until nothing new follows."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from splicewright.question.facts import Facts
from splicewright.rulebook.model import Rule
from tests.oracle.plain import Fired, evaluate


class PlainLoop:
    """A loop over the rules."""

    name = "plain Python loop"
    tells_conditions = True

    def __init__(self, rules: Sequence[Rule]) -> None:
        self._rules = rules

    def ask(self, facts: Facts) -> Iterable[Fired]:
        return evaluate(self._rules, facts)

    def fired(self, answer: Iterable[Fired]) -> Iterable[Fired]:
        return answer


PEER = PlainLoop
