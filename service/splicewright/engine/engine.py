"""The engine of one rulebook: questions in, findings out."""

from __future__ import annotations

from splicewright.engine.compiled_rulebook import CompiledRulebook
from splicewright.engine.finding_set import Derived
from splicewright.engine.fired_rules import numbers_of
from splicewright.engine.firings import Firing
from splicewright.question.facts import Facts, facts_of
from splicewright.question.model import Question
from splicewright.rulebook.model import Rulebook


class Engine:
    """Derives what the rules of one rulebook say. Any number of threads may ask.

    It may be made before a fork: see `CompiledRulebook`.
    """

    def __init__(self, rulebook: Rulebook, compiled: CompiledRulebook | None = None) -> None:
        """Derive by a rulebook, whose rules were compiled among others, or are compiled now.

        Raises UnfitRulebook or RulebookTooLarge, naming the rule and what to write.
        """
        self.rulebook = rulebook
        self._compiled = compiled or CompiledRulebook(rulebook.derived)
        self._mask = self._compiled.mask(rulebook.derived)

    def derive(self, question: Question) -> Derived:
        """Give the findings for a question: one for each rule and wording.

        Raises QuestionTooLarge.
        """
        compiled = self._compiled
        return Derived(compiled.fired(facts_of(question), self._mask), compiled.of_kinds, compiled.templates)

    def firings(self, facts: Facts) -> tuple[Firing, ...]:
        """Give each firing of each rule, sorted by rule id, conductors and conditions.

        Raises TypeError or ValueError for a value that is not of its fact's kind, and QuestionTooLarge.
        """
        fired = self._compiled.fired(facts, self._mask)
        found = [firing for number in numbers_of(fired.fired) for firing in fired.firings(number)]
        return tuple(sorted(found, key=lambda one: (one.rule.id, one.conductors, one.conditions)))

    def close(self) -> None:
        """Give back what this process holds, for all editions compiled together. A later question opens it anew."""
        self._compiled.close()
