"""Rules compiled, of all editions at once: patterns as bitmap indexes, conditions chained by the library.

An `Engine` is one rulebook of them: questions in, findings out.
"""

from __future__ import annotations

import os
import weakref
from collections.abc import Iterable, Sequence
from functools import cached_property

from splicewright.engine.bitmap_index import BitmapIndex, decide
from splicewright.engine.condition_chain import ConditionChain
from splicewright.engine.faults import MOST_PAIRS, MOST_RULES, QuestionTooLarge, RulebookTooLarge
from splicewright.engine.finding_set import FindingSet
from splicewright.engine.finding_templates import KINDS, FindingTemplates, kind_of
from splicewright.engine.fired_rules import FiredRules, numbers_of
from splicewright.engine.library_session import LibrarySession
from splicewright.engine.rule_groups import Firing, RuleGroups, concluded, read_patterns
from splicewright.question.facts import Facts, facts_of
from splicewright.question.model import Question
from splicewright.rulebook.model import Rule, Rulebook


class CompiledRulebook:
    """All rules of all editions, each compiled once. A stack of them, such as one edition, is a mask.

    A rule is known by its number, and is a bit in every mask. Safe between threads; each process has a session of its
    own, opened by the first question that concludes anything: it may be compiled before a fork.
    """

    def __init__(self, rules: Iterable[Rule]) -> None:
        """Compile rules. Raises UnfitRulebook or RulebookTooLarge, naming the rule and what to write."""
        rules = _derived(rules)
        conditions = concluded(sorted(rules, key=lambda rule: rule.id))
        self._patterns = read_patterns(rules, conditions)
        self._rules = tuple(rules)
        self._numbers = {id(rule): number for number, rule in enumerate(rules)}
        self._count = len(rules)
        single = {number: pattern.single for number, pattern in enumerate(self._patterns)}
        conductor = {
            number + slot * self._count: tests
            for number, pattern in enumerate(self._patterns)
            for slot, tests in enumerate(pattern.conductors)
        }
        decided = decide([*single.values(), *conductor.values()])
        self._single, self._conductor = BitmapIndex(single, decided), BitmapIndex(conductor, decided)
        self._groups = RuleGroups.of(self._patterns, len(conditions))
        self._chain = ConditionChain(
            {
                number: pattern
                for number, pattern in enumerate(self._patterns)
                if pattern.choices and pattern.concludes is not None
            }
        )
        self._sessions: dict[int, LibrarySession] = {}
        weakref.finalize(self, _close, self._sessions).atexit = False

    def mask(self, rules: Iterable[Rule]) -> int:
        """Give the mask of a stack: some of the rules that were compiled. Raises KeyError for any other."""
        return sum(1 << self._numbers[id(rule)] for rule in rules if kind_of(rule) in KINDS)

    @cached_property
    def templates(self) -> FindingTemplates:
        """How each rule tells what it found."""
        return FindingTemplates(self._rules)

    @cached_property
    def of_kinds(self) -> dict[str, int]:
        """The rules that find each kind of findings, as masks."""
        found = dict.fromkeys(KINDS, 0)
        for number, rule in enumerate(self._rules):
            found[kind_of(rule)] |= 1 << number
        return found

    def fired(self, facts: Facts, mask: int) -> FiredRules:
        """Give what fires, of the rules of a stack, on the facts of one question.

        Raises TypeError or ValueError for a value that is not of its fact's kind, and QuestionTooLarge.
        """
        groups, chain = self._groups, self._chain
        met = self._single.matching(facts.single) & mask
        first = [self._conductor.matching(conductor) for conductor in facts.conductors]
        second = [bits >> self._count for bits in first]
        if len(first) * (len(first) - 1) > MOST_PAIRS and mask & groups.of_pair:
            raise QuestionTooLarge
        of_one = 0
        for bits in first:
            of_one |= bits
        pair = met & groups.of_pair
        if pair:
            pair &= _of_two(first, second)
        met = met & (groups.of_joint | (groups.of_conductor & of_one)) | pair
        fired, held = chain.chained(met, self._ask) if met & chain.concluding else (0, 0)
        fired |= self._filled(met & ~chain.concluding, held)
        return FiredRules(self._patterns, facts, fired, chain.concluding, held, first, second)

    def _filled(self, met: int, held: int) -> int:
        """Give the rules, of those whose other patterns are met, whose conditions hold."""
        groups = self._groups
        filled = groups.of_no_condition
        for place in numbers_of(held):
            filled |= groups.of_condition[place]
        for number in numbers_of(met & groups.of_conditions):
            if any(choice.needs & ~held == 0 for choice in self._patterns[number].choices):
                filled |= 1 << number
        return met & filled

    def _ask(self, facts: Sequence[str]) -> list[tuple[int, str]]:
        process = os.getpid()
        session = self._sessions.get(process)
        if session is None:
            session = self._sessions.setdefault(process, LibrarySession(self._chain.patterns))
        return session.fired(facts)

    def close(self) -> None:
        """Give back what this process holds. A later question opens it anew."""
        _close(self._sessions)


def _derived(rules: Iterable[Rule]) -> list[Rule]:
    """Give the rules that an engine derives, each once, by what they do, then by id.

    Rules for `refuse` are left out: `choice/` looks them up.
    """
    each = {id(rule): rule for rule in rules if kind_of(rule) in KINDS}
    if len(each) > MOST_RULES:
        one = sorted(rule.id for rule in each.values())[MOST_RULES]
        raise RulebookTooLarge(one, f"is one of more than {MOST_RULES} rules; leave some out")
    return sorted(each.values(), key=lambda rule: (KINDS.index(kind_of(rule)), rule.id))


def _of_two(first: Sequence[int], second: Sequence[int]) -> int:
    """Give the rules of which one conductor fills the first pattern and another one the second."""
    found = 0
    for at, bits in enumerate(first):
        others = 0
        for other, more in enumerate(second):
            if other != at:
                others |= more
        found |= bits & others
    return found


def _close(sessions: dict[int, LibrarySession]) -> None:
    session = sessions.pop(os.getpid(), None)
    if session is not None:
        session.close()


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

    def derive(self, question: Question) -> FindingSet:
        """Give the findings for a question: one for each rule and wording.

        Raises QuestionTooLarge.
        """
        compiled = self._compiled
        return FindingSet(compiled.fired(facts_of(question), self._mask), compiled.of_kinds, compiled.templates)

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
