"""Rules compiled, of all editions at once: patterns as bitmap indexes, conditions chained by the library.

For each value of a fact an index has the patterns that it does not rule out, as bits. At load each comparison that some
pattern makes is decided by the library once: for each word of its fact; for a fact without a value; and for each
interval between the numbers that its fact is compared with, and for those themselves. A question then only looks up:
what is left when the bits of all of its values are ANDed are the patterns that match.

An `Engine` is one rulebook of them: questions in, findings out.
"""

from __future__ import annotations

import functools
import itertools
import os
import weakref
from bisect import bisect_right
from collections.abc import Callable, Iterable, Mapping, Sequence
from functools import cached_property
from operator import and_, getitem
from typing import Any

from splicewright.engine.fact_encoding import Comparison, Tests, check_value, coded, words_compared
from splicewright.engine.faults import LARGEST_NUMBER, MOST_PAIRS, QuestionTooLarge
from splicewright.engine.finding_set import FindingSet, FindingTemplates, FiredRules, numbers_of
from splicewright.engine.finding_templates import KINDS, derived_rules, kind_of
from splicewright.engine.library import ConditionChain, Decided, LibrarySession, decide
from splicewright.engine.rule_groups import Firing, RuleGroups, concluded, read_patterns
from splicewright.question.fact_kinds import FactKind, Value, fact_kinds
from splicewright.question.facts import Facts, facts_of
from splicewright.question.model import Question
from splicewright.rulebook.model import Amended, Rule, Rulebook

# --- patterns on facts ---------------------------------------------------------------------------

_Get = Callable[[str], Value | None]
#: A list's bits for one test of each pattern: the patterns that do not test it, and what each word adds.
_Layer = tuple[int, Mapping[Any, int]]
#: A number's: where intervals begin, the bits of each, and those of no value. There are none (it is a TypeError)
#: before the first one and from the last one on.
_Intervals = tuple[str, Sequence[int], Sequence[Any], int]


class _OfFreeWords(dict[Any, int]):
    """What each free word adds: nothing, where no pattern tests it."""

    def __missing__(self, word: Any) -> int:
        return 0


class BitmapIndex:
    """Tells which patterns match the facts of one joint, or of one conductor."""

    def __init__(self, patterns: Mapping[int, Tests], decided: Decided) -> None:
        """Index patterns by their bits. `decided` is what the library said of all of their comparisons."""
        self._everything = sum(1 << bit for bit in patterns)
        self._words: dict[str, Mapping[Any, int]] = {}
        self._flags: list[tuple[str, int, int, int]] = []
        self._numbers: list[_Intervals] = []
        self._lists: list[tuple[str, tuple[_Layer, ...]]] = []
        tested: dict[str, dict[int, list[tuple[Comparison, ...]]]] = {}
        for bit, tests in patterns.items():
            for test in sorted(tests):
                tested.setdefault(test[0].name, {}).setdefault(bit, []).append(test)
        for name, of_bits in tested.items():
            self._add(fact_kinds()[name], of_bits, decided[name])

    def _add(
        self,
        kind: FactKind,
        of_bits: Mapping[int, Sequence[tuple[Comparison, ...]]],
        decided: Mapping[int | None, frozenset[Comparison]],
    ) -> None:
        """Add a fact, with the tests of each pattern that tests it."""
        if kind.kind == "words":
            layers = itertools.count()
            most = max(map(len, of_bits.values()))
            self._lists.append(
                (kind.name, tuple(self._layer(kind, of_bits, decided, next(layers)) for _ in range(most)))
            )
            return
        untested = self._everything & ~sum(1 << bit for bit in of_bits)
        bits = {
            value: untested | sum(1 << bit for bit, tests in of_bits.items() if _pass(tests, held))
            for value, held in decided.items()
        }
        if kind.kind == "word":
            of_words = {word: bits[coded(kind, word)] for word in kind.words}
            self._words[kind.name] = {None: bits[None], **of_words}
        elif kind.kind == "flag":
            self._flags.append((kind.name, bits[1], bits[0], bits[None]))
        else:
            begins = [value for value in decided if value is not None]
            of_intervals = [None, *(bits[value] for value in begins), None]
            self._numbers.append((kind.name, [*begins, LARGEST_NUMBER + 1], of_intervals, bits[None]))

    def _layer(
        self,
        kind: FactKind,
        of_bits: Mapping[int, Sequence[tuple[Comparison, ...]]],
        decided: Mapping[int | None, frozenset[Comparison]],
        layer: int,
    ) -> _Layer:
        """Take one test of each pattern: a list passes it by any of its words, but must pass each test."""
        tests = {bit: each[layer] for bit, each in of_bits.items() if layer < len(each)}
        untested = self._everything & ~sum(1 << bit for bit in tests)
        of_words = {
            word: sum(1 << bit for bit, test in tests.items() if _pass([test], decided[coded(kind, word)]))
            for word in words_compared(kind, tests.values())
        }
        return untested, _OfFreeWords(of_words) if kind.open else of_words

    def matching(self, facts: Mapping[str, Value]) -> int:
        """Give the patterns that match, as bits. Raises TypeError or ValueError for a value of another kind."""
        bits, get = self._everything, facts.get
        try:
            # Most facts are words: they are looked up without a loop of Python's.
            bits = functools.reduce(and_, map(getitem, self._words.values(), map(get, self._words)), bits)
            return bits & self._by_numbers(get) & self._by_flags(get) & self._by_lists(get)
        except (KeyError, TypeError):
            self._check(facts)
            raise

    def _by_numbers(self, get: _Get) -> int:
        bits = self._everything
        for name, begins, of_intervals, absent in self._numbers:
            value = get(name)
            if value is None:
                bits &= absent
            elif type(value) is int:
                bits &= of_intervals[bisect_right(begins, value)]
            else:
                raise TypeError
        return bits

    def _by_flags(self, get: _Get) -> int:
        bits = self._everything
        for name, yes, no, absent in self._flags:
            value = get(name)
            if value is None:
                bits &= absent
            elif value is True:
                bits &= yes
            elif value is False:
                bits &= no
            else:
                raise TypeError
        return bits

    def _by_lists(self, get: _Get) -> int:
        bits = self._everything
        for name, layers in self._lists:
            value = get(name)
            if not isinstance(value, tuple | None):
                raise TypeError
            for untested, of_words in layers:
                some = untested
                for word in value or ():
                    some |= of_words[word]
                bits &= some
        return bits

    def _check(self, facts: Mapping[str, Value]) -> None:
        """Tell what value is of another kind than its fact."""
        others = [name for each in (self._numbers, self._flags, self._lists) for name, *_ in each]
        for name in (*self._words, *others):
            if facts.get(name) is not None:
                check_value(fact_kinds()[name], facts[name])


def _pass(tests: Iterable[tuple[Comparison, ...]], held: frozenset[Comparison]) -> bool:
    """Tell whether every test has a comparison that the library said holds."""
    return all(not held.isdisjoint(test) for test in tests)


# --- rules ---------------------------------------------------------------------------------------


class CompiledRulebook:
    """All rules of all editions, each compiled once. A stack of them, such as one edition, is a mask.

    A rule is known by its number, and is a bit in every mask. Safe between threads; each process has a session of its
    own, opened by the first question that concludes anything: it may be compiled before a fork.
    """

    def __init__(self, rules: Iterable[Rule]) -> None:
        """Compile rules. Raises UnfitRulebook or RulebookTooLarge, naming the rule and what to write."""
        rules = derived_rules(rules)
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

    def derive(self, facts: Facts, mask: int) -> FindingSet:
        """Give the findings of the rules of a stack on the facts of one question. Raises what `fired` raises."""
        return FindingSet(self.fired(facts, mask), self.of_kinds, self.templates)

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
        taken_out = [one.rule for one in rulebook.amended]
        self._compiled = compiled or CompiledRulebook((*rulebook.derived, *taken_out))
        self._mask = self._compiled.mask(rulebook.derived)
        self._taken_out = self._compiled.mask(taken_out)

    def derive(self, question: Question) -> FindingSet:
        """Give the findings for a question: one for each rule and wording.

        Raises QuestionTooLarge.
        """
        return self._compiled.derive(facts_of(question), self._mask)

    def amended(self, facts: Facts) -> tuple[Amended, ...]:
        """Give the rules that amendments took out and that would have fired, had nothing been taken out.

        Raises what `firings` raises.
        """
        if not self._taken_out:
            return ()
        fired = self._compiled.fired(facts, self._mask | self._taken_out).fired
        return tuple(one for one in self.rulebook.amended if self._compiled.mask([one.rule]) & fired)

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
