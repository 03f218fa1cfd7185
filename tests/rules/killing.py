"""Whether a changed rule is noticed: by the examples of any rule, or by the cases."""

from __future__ import annotations

import functools
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, replace
from typing import Any
from unittest import mock

from splicewright import shipped
from splicewright.choice import Chooser
from splicewright.choice.holding import CompiledRules, Holding
from splicewright.engine import Engine
from splicewright.question.facts import Facts, facts_of
from splicewright.question.model import Question
from splicewright.question.read import read_question
from splicewright.question.vocabulary import CODES
from splicewright.rulebook import Rule, Rulebook, load_rulebook
from splicewright.rulebook.examples import example_question
from tests.cases import test_cases
from tests.oracle.plain import evaluate, fillings
from tests.rules.mutations import Concluded, Mutant

Conditions = frozenset[tuple[str, str]]


@dataclass(frozen=True)
class Example:
    """A question put to a rule, and whether the rule has to fire on it."""

    question: Question
    facts: Facts
    fires: bool
    conditions: Conditions  # that the unchanged rules conclude


class Corpus:
    """All shipped rules with their examples and the cases."""

    def __init__(self) -> None:
        """Read the rules; examples are made when first needed."""
        self.books = {code: load_rulebook(code) for code in sorted(CODES, reverse=True)}
        self._concluding = {
            code: [rule for rule in book.rules if rule.effect.concludes] for code, book in self.books.items()
        }
        self._examples: dict[tuple[str, str], list[Example]] = {}

    @functools.cached_property
    def concluded(self) -> Concluded:
        """The words that rules conclude for each condition."""
        pairs = {rule.effect.concludes for rules in self._concluding.values() for rule in rules}
        found: dict[str, list[str]] = {}
        for key, word in sorted(pair for pair in pairs if pair):
            found.setdefault(key, []).append(word)
        return {key: tuple(words) for key, words in found.items()}

    def kills(self, mutant: Mutant) -> bool:
        """Tell whether an example of any rule or a case turns red where this rule stands in place of the shipped one.

        Only what the change can reach is tried: the rule's own examples, those of the rules that build on what it
        concludes, and the cases whose findings it changes.
        """
        books = [(code, book) for code, book in self.books.items() if any(r.id == mutant.rule.id for r in book.rules)]
        return any(self._own_red(code, mutant.rule) or self._others_red(code, mutant.rule) for code, _ in books) or any(
            self._case_red(code, mutant.rule) for code, _ in books
        )

    def examples(self, code: str, rule: Rule) -> list[Example]:
        """Give a rule's examples under one code edition."""
        found = self._examples.get((code, rule.id))
        if found is None:
            found = [
                self._example(code, partial, fires=fires)
                for fires, partials in ((True, rule.fires), (False, rule.silent))
                for partial in partials
            ]
            self._examples[code, rule.id] = found
        return found

    def _example(self, code: str, partial: Any, *, fires: bool) -> Example:
        question = example_question(partial, code).question
        facts = facts_of(question)
        return Example(question, facts, fires, _conditions(self._concluding[code], facts))

    def _own_red(self, code: str, rule: Rule) -> bool:
        return any(
            any(True for _ in fillings(rule, one.facts, one.conditions)) is not one.fires
            for one in self.examples(code, rule)
        )

    def _others_red(self, code: str, changed: Rule) -> bool:
        if not changed.effect.concludes:
            return False
        concluding = [changed if rule.id == changed.id else rule for rule in self._concluding[code]]
        for rule in self.books[code].rules:
            if rule.id != changed.id and any(pattern.scope == "condition" for pattern in rule.when):
                for one in self.examples(code, rule):
                    conditions = _conditions(concluding, one.facts)
                    if any(True for _ in fillings(rule, one.facts, conditions)) is not one.fires:
                        return True
        return False

    # --- cases ----------------------------------------------------------------------

    def _case_red(self, code: str, changed: Rule) -> bool:
        reached = [case for case, question in _cases() if question.code == code and self._reaches(changed, question)]
        if not reached:
            return False
        with _answering_with(code, self._with(code, changed)):
            return any(not _green(case) for case in reached)

    def _with(self, code: str, changed: Rule) -> Rulebook:
        book = self.books[code]
        return replace(book, rules=tuple(changed if rule.id == changed.id else rule for rule in book.rules))

    def _reaches(self, changed: Rule, question: Question) -> bool:
        """Tell whether the change makes a difference to what is found for a question."""
        facts = facts_of(question)
        rule = self.books[question.code].rule(changed.id)
        conditions = _conditions(self._concluding[question.code], facts)
        before = set(fillings(rule, facts, conditions))
        return bool(before) if rule.effect != changed.effect else before != set(fillings(changed, facts, conditions))


def _conditions(concluding: list[Rule], facts: Facts) -> Conditions:
    fired = {rule_id for rule_id, _, _ in evaluate(concluding, facts)}
    return frozenset(rule.effect.concludes for rule in concluding if rule.id in fired and rule.effect.concludes)


@functools.cache
def _cases() -> list[tuple[dict[str, Any], Question]]:
    found = []
    for param in test_cases.cases():
        (case,) = param.values
        found.append((case, read_question({**test_cases.PLAIN, **case["question"]}).question))
    return found


class _Changed(Holding):
    """The shipped catalogues with one rulebook changed."""

    def __init__(self, code: str, rulebook: Rulebook) -> None:
        super().__init__(shipped.folder("rulesets"))
        self._rules[code] = CompiledRules(Engine(rulebook))
        self.code = code


@contextmanager
def _answering_with(code: str, rulebook: Rulebook) -> Iterator[None]:
    chooser = Chooser()
    changed = _Changed(code, rulebook)
    chooser.use(changed)
    with mock.patch.object(test_cases, "shipped_chooser", return_value=chooser):
        yield
    changed.rules(code).engine.close()


def _green(case: dict[str, Any]) -> bool:
    try:
        test_cases.test_case(case)
    except AssertionError:
        return False
    return True
