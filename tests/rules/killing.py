"""Whether a changed rule is noticed: by the examples of any rule, or by the cases."""

from __future__ import annotations

import functools
import itertools
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, replace
from typing import Any
from unittest import mock

from splicewright import shipped
from splicewright.answering import Chooser, shipped_chooser
from splicewright.catalogue.connector_index import ConnectorIndex
from splicewright.choice.loaded_rules import CompiledRules, LoadedRules
from splicewright.choice.matching import speaks
from splicewright.engine import CompiledRulebook, Engine
from splicewright.question.facts import Facts, facts_of
from splicewright.question.model import Question
from splicewright.question.proposal import Proposal
from splicewright.question.read import read_question
from splicewright.question.vocabulary import CODES
from splicewright.rulebook import Rule, load_rulebook
from splicewright.rulebook.examples import PLAIN, example_proposal, example_question
from tests.cases import test_cases
from tests.oracle.plain import evaluate, fillings
from tests.rules.mutations import Concluded, Mutant

Conditions = frozenset[tuple[str, str]]


@dataclass(frozen=True)
class Put:
    """A question put to the unchanged rules: its facts, and what they conclude from them."""

    facts: Facts
    conditions: Conditions


@dataclass(frozen=True)
class Example(Put):
    """A question put to a rule, with what is proposed for it, and whether the rule has to fire on it."""

    fires: bool
    proposal: Proposal | None


class Corpus:
    """All shipped rules with their examples and the cases."""

    def __init__(self, overlaid: Iterable[Rule] = ()) -> None:
        """Read the rules; examples are made when first needed. `overlaid` rules stand in place of the shipped ones."""
        instead = {rule.id: rule for rule in overlaid}
        shipped_books = {code: load_rulebook(code) for code in sorted(CODES, reverse=True)}
        self.books = {
            code: replace(book, rules=tuple(instead.get(rule.id, rule) for rule in book.rules))
            for code, book in shipped_books.items()
        }
        self._by_id = {code: {rule.id: rule for rule in book.rules} for code, book in self.books.items()}
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
        return not self.survivors([mutant])

    def survivors(self, mutants: Iterable[Mutant]) -> tuple[Mutant, ...]:
        """Give those that turn nothing red, each tried alone. Those that no example kills are compiled together."""
        left = [mutant for mutant in mutants if not self._any_red(mutant, self._own_red, self._others_red)]
        every = itertools.chain.from_iterable(book.derived for book in self.books.values())
        compiled = CompiledRulebook((*every, *(mutant.rule for mutant in left)))
        cases_red = functools.partial(self._cases_red, compiled)
        found = tuple(mutant for mutant in left if not self._any_red(mutant, cases_red))
        compiled.close()
        return found

    def _any_red(self, mutant: Mutant, *ways: Callable[[str, Rule], bool]) -> bool:
        changed = mutant.rule
        codes = [code for code, rules in self._by_id.items() if changed.id in rules]
        return any(red(code, changed) for red in ways for code in codes)

    # --- examples -------------------------------------------------------------------

    def examples(self, code: str, rule: Rule) -> list[Example]:
        """Give a rule's examples under one code edition."""
        found = self._examples.get((code, rule.id))
        if found is None:
            found = [
                Example(
                    *self._put(example_question(partial, code).question),
                    fires,
                    example_proposal(partial) if "proposal" in partial else None,
                )
                for fires, partials in ((True, rule.fires), (False, rule.silent))
                for partial in partials
            ]
            self._examples[code, rule.id] = found
        return found

    def _put(self, question: Question) -> tuple[Facts, Conditions]:
        facts = facts_of(question)
        return facts, _conditions(self._concluding[question.code], facts)

    def _own_red(self, code: str, changed: Rule) -> bool:
        rule = self._by_id[code][changed.id]
        return any(_fires(changed, example) is not example.fires for example in self.examples(code, rule))

    def _others_red(self, code: str, changed: Rule) -> bool:
        if not changed.effect.concludes:
            return False
        concluding = [changed if rule.id == changed.id else rule for rule in self._concluding[code]]
        for rule in self.books[code].rules:
            if any(pattern.scope == "condition" for pattern in rule.when):
                for example in self.examples(code, rule):
                    if self._reaches(code, changed, example):
                        followed = replace(example, conditions=_conditions(concluding, example.facts))
                        if _fires(rule, followed) is not example.fires:
                            return True
        return False

    def _reaches(self, code: str, changed: Rule, put: Put) -> bool:
        """Tell whether the change makes a difference to what is found for a question."""
        rule = self._by_id[code][changed.id]
        before = set(fillings(rule, put.facts, put.conditions))
        if rule.effect != changed.effect:
            return bool(before)
        return before != set(fillings(changed, put.facts, put.conditions))

    # --- cases ----------------------------------------------------------------------

    def _cases_red(self, compiled: CompiledRulebook, code: str, changed: Rule) -> bool:
        reached = [case for case, of, put in self._cases if of == code and self._reaches(code, changed, put)]
        if not reached:
            return False
        reached.sort(key=lambda case: changed.id not in repr(case["answer"]))  # first those that name the rule
        rules = tuple(changed if rule.id == changed.id else rule for rule in self.books[code].rules)
        with _answering_by(Engine(replace(self.books[code], rules=rules), compiled)):
            return any(not _green(case) for case in reached)

    @functools.cached_property
    def _cases(self) -> list[tuple[dict[str, Any], str, Put]]:
        found = []
        for param in test_cases.cases():
            (case,) = param.values
            question = read_question({**PLAIN, **case["question"]}).question
            found.append((case, question.code, Put(*self._put(question))))
        return found


def _fires(rule: Rule, put: Example) -> bool:
    if not any(True for _ in fillings(rule, put.facts, put.conditions)):
        return False
    if put.proposal is None:
        return True
    method = str(put.proposal.method)
    connectors = [
        connector for connector in shipped_chooser().catalogue("shop").connectors if connector.method == method
    ]
    return speaks(rule.effect, put.proposal, method, connectors)


def _conditions(concluding: list[Rule], facts: Facts) -> Conditions:
    fired = {rule_id for rule_id, _, _ in evaluate(concluding, facts)}
    return frozenset(rule.effect.concludes for rule in concluding if rule.id in fired and rule.effect.concludes)


class _Changed(LoadedRules):
    """The shipped rules and catalogues with the rulebook of one code edition changed."""

    def __init__(self, engine: Engine) -> None:
        super().__init__(shipped.folder("rulesets"))
        self.changed = CompiledRules(engine)

    def rules(self, code: str) -> CompiledRules:
        return self.changed if code == self.changed.rulebook.code else super().rules(code)

    def index(self, name: str) -> ConnectorIndex:
        return shipped_chooser().holding.index(name)


@contextmanager
def _answering_by(engine: Engine) -> Iterator[None]:
    """Let the cases be answered from other rules."""
    chooser = Chooser()
    chooser.use(_Changed(engine))
    with mock.patch.object(test_cases, "shipped_chooser", return_value=chooser):
        yield


def _green(case: dict[str, Any]) -> bool:
    try:
        test_cases.test_case(case)
    except Exception:  # noqa: BLE001 - whatever a test raises turns it red
        return False
    return True
