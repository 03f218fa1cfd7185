"""From firings to findings: one for each rule and wording, with what it rests on."""

from __future__ import annotations

import itertools
from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from operator import itemgetter
from typing import Any

from splicewright.engine.derived import Derived
from splicewright.engine.program import Condition, FiredRow, Firing, concluding
from splicewright.engine.telling import KINDS, Concluded, Finding, Saying, kind_of
from splicewright.question.facts import Facts
from splicewright.rulebook.model import Rule

_REMEMBERED = 4_000  # findings of a rule on given grounds, at some 1,500 bytes each, what is made of them included
_REMEMBERED_ROWS = 8_000  # at some 400 bytes each
_REMEMBERED_CONDITIONS = 1_000  # ways that conditions were concluded


@dataclass(frozen=True, slots=True)
class _Row:
    """What the rules say that one row fires, but for those whose firings are `left` to be told with those of others."""

    findings: Mapping[int, tuple[Finding, ...]]  # by the number of the rule
    left: tuple[Firing, ...]


class Sayings:
    """Tells what the firings of a question mean, by the rules of one rulebook.

    What a rule says on the same grounds is told once and remembered, so that findings are shared between questions.
    """

    def __init__(self, rules: Iterable[Rule], always: Iterable[Firing]) -> None:
        """Read the rules. `always` are the firings of those that always hold."""
        rules, always = list(rules), list(always)
        in_order = sorted((KINDS.index(kind), rule.id, rule) for rule in rules if (kind := kind_of(rule)) in KINDS)
        self._of_rules = {rule_id: Saying.of(rule, number) for number, (_, rule_id, rule) in enumerate(in_order)}
        #: Where each kind ends among the numbers of rules.
        self._ends = [bisect_right(in_order, at, key=itemgetter(0)) for at in range(len(KINDS))]
        #: What is known before any question; those with places to fill are left to each.
        self._settled: dict[int, tuple[Finding, ...]] = {
            saying.number: (saying.always,)
            for one in always
            if (saying := self._of_rules[one.rule.id]).always is not None
        }
        self._unsettled = [one for one in always if self._of_rules[one.rule.id].always is None]
        self._concluding = concluding(one.rule for one in always)
        self._told: dict[tuple[Any, ...], tuple[Finding, ...]] = {}
        #: By the row, with the ids of the rules that concluded its conditions.
        self._of_rows: dict[tuple[Any, ...], _Row] = {}
        self._of_conditions: dict[tuple[tuple[Condition, str], ...], Concluded] = {}

    def findings(self, told: Sequence[FiredRow], facts: Facts) -> Derived:
        """Give the findings of a question, each kind of them by rule id, then words; what always holds among them.

        `told` are the rows of the question that fired rules.
        """
        found, left = self._settled.copy(), [*self._unsettled]
        concluding = [pair for _, _, fired in told if fired.concluding for pair in fired.concluding]
        concluded = self._concluded((*self._concluding, *concluding))
        several = len(facts.conductor_shares) > 1
        for row, choice, fired in told:
            conductors, conditions = choice
            if conductors and several:  # firings on several conductors may be one finding
                left += fired.firings(choice)
                continue
            key = (row, *[concluded[condition] for condition in conditions]) if conditions else row
            known = self._of_rows.get(key) or self._row(key, fired.firings(choice), concluded, facts)
            found.update(known.findings)
            left += known.left
        if left:
            of_rules: dict[str, list[Firing]] = {}
            for firing in left:
                of_rules.setdefault(firing.rule.id, []).append(firing)
            for rule_id, alike in of_rules.items():
                saying = self._of_rules[rule_id]
                found[saying.number] = self._tell(saying, alike, concluded, facts)
        numbers = sorted(found)
        each = [found[number] for number in numbers]
        derived, begin = [], 0
        for end in self._ends:
            upto = bisect_left(numbers, end, begin)
            derived.append(tuple(itertools.chain.from_iterable(each[begin:upto])))
            begin = upto
        return Derived(*derived)

    def _row(self, key: tuple[Any, ...], firings: Iterable[Firing], concluded: Concluded, facts: Facts) -> _Row:
        told: dict[int, tuple[Finding, ...]] = {}
        left = []
        for firing in firings:
            saying = self._of_rules[firing.rule.id]
            if saying.by_case:
                left.append(firing)
            else:
                told[saying.number] = self._tell(saying, [firing], concluded, facts)
        if len(self._of_rows) >= _REMEMBERED_ROWS:
            self._of_rows.clear()
        found = self._of_rows[key] = _Row(told, tuple(left))
        return found

    def _tell(self, saying: Saying, firings: list[Firing], concluded: Concluded, facts: Facts) -> tuple[Finding, ...]:
        key = saying.depends_on(firings, concluded, facts)
        known = self._told.get(key)
        if known is None:
            known = saying.findings(firings, concluded, facts)
            if len(self._told) >= _REMEMBERED:
                self._told.clear()
                self._of_rows.clear()  # or they would keep the findings
            self._told[key] = known
        return known

    def _concluded(self, concluding: tuple[tuple[Condition, str], ...]) -> Concluded:
        known = self._of_conditions.get(concluding)
        if known is None:
            found: dict[Condition, set[str]] = {}
            for condition, rule_id in concluding:
                found.setdefault(condition, set()).add(rule_id)
            if len(self._of_conditions) >= _REMEMBERED_CONDITIONS:
                self._of_conditions.clear()
            known = {condition: tuple(sorted(ids)) for condition, ids in found.items()}
            self._of_conditions[concluding] = known
        return known
