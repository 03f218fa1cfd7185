"""From firings to findings: one for each rule and wording, with what it rests on."""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from operator import attrgetter
from typing import Any

from splicewright.engine.program import Condition, Firing
from splicewright.engine.proof import Given, Grounds
from splicewright.engine.wording import OpenTest, Place, Template
from splicewright.rulebook.model import ListingTest, Rule

_REMEMBERED = 4_000  # findings of a rule on given grounds, at some 1,500 bytes each, what is made of them included


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing that a rule says of a question.

    `says`, and `do` for a step, are the rule's words with their places filled. `tests` are those of a demand or a
    preference, their values coded. `conductors` are indexes into the question's conductors, of those matched.
    `rests_on` has the facts as `name: printed value` and the ids of the rules that concluded the conditions matched,
    sorted; it is empty for a rule that always holds.

    A finding is shared by all questions that give it. `kept` is for whoever reads on: what was made of it.
    """

    rule: Rule
    says: str
    tests: tuple[ListingTest, ...]
    conductors: tuple[int, ...]
    do: str | None = None
    rests_on: tuple[str, ...] = field(default=(), repr=False, compare=False)
    kept: dict[Any, Any] = field(default_factory=dict, init=False, repr=False, compare=False)


#: What a finding says, does and asks: firings that agree in it are one finding.
Words = tuple[str, str | None, "tuple[ListingTest, ...]"]
Concluded = Mapping[Condition, tuple[str, ...]]  # condition -> ids of the rules that concluded it


@dataclass(frozen=True, slots=True, eq=False)
class Saying:
    """How a rule's findings are told, and which facts they tell of.

    `fixed` has the words where there is nothing to fill, `always` the finding where all of it is known.
    """

    number: int
    says: Template
    do: Template | None
    tests: tuple[OpenTest, ...]
    grounds: Grounds
    fixed: Words | None
    always: Finding | None
    lines: tuple[str, ...]  # the single facts told
    matched_lines: tuple[tuple[str, ...], ...]  # those told of the conductor that each pattern matched
    together: tuple[str, ...]  # all of them, in a question of one conductor
    by_lines: bool  # whether nothing else decides the findings, in a question of one conductor
    values: tuple[Place, ...]  # those that tests are filled with

    @classmethod
    def of(cls, rule: Rule, number: int) -> Saying:
        """Read a rule. `number` is its place among all rules by their ids."""
        effect = rule.effect
        says, do = Template.read(rule.says), None if effect.do is None else Template.read(effect.do)
        tests = tuple(OpenTest.read(test) for test in effect.tests)
        fixed = says.fixed and (do is None or do.fixed) and all(test.values is None for test in tests)
        words = (rule.says, effect.do, effect.tests)
        always = Finding(rule, rule.says, effect.tests, (), effect.do) if fixed and not rule.when else None
        grounds = Grounds.of(rule)
        named = [one for words in (says, do) if words for one in words.parts if isinstance(one, Place)]
        values = tuple(one for test in tests for one in test.values or () if isinstance(one, Place))
        lines = (*grounds.single, *(one.name for one in named if one.slot is None))
        matched = [
            (*names, *(one.name for one in named if one.slot == slot)) for slot, names in enumerate(grounds.matched)
        ]
        return cls(
            number,
            says,
            do,
            tests,
            grounds,
            words if fixed else None,
            always,
            lines,
            tuple(matched),
            tuple(dict.fromkeys((*lines, *grounds.every, *itertools.chain(*matched)))),
            not values and all(one.scope != "condition" for one in rule.when),
            values,
        )

    def depends_on(self, firings: list[Firing], concluded: Concluded, given: Given) -> tuple[Any, ...]:
        """Give all that decides the findings of these firings."""
        first = firings[0]
        if given.together is not None and len(firings) == 1:
            lines = (self, *map(given.together, self.together))
            concluding = [concluded[condition] for condition in first.conditions]
            return (*lines, first.conditions, *concluding, *[place.coded(first, given) for place in self.values])
        lines = tuple(map(given.single.get, self.lines))
        if not (first.conductors or first.conditions or self.grounds.every or self.values):
            return (self, *lines)
        every = [of_one.get(name) for name in self.grounds.every for of_one in given.conductors]
        each = [
            (
                one.conductors,
                one.conditions,
                *[concluded[condition] for condition in one.conditions],
                *[place.coded(one, given) for place in self.values],
                *[
                    given.conductors[at].get(name)
                    for at, names in zip(one.conductors, self.matched_lines, strict=True)
                    for name in names
                ],
            )
            for one in firings
        ]
        return (self, lines, len(given.conductors), *every, *each)

    def findings(self, firings: list[Firing], concluded: Concluded, given: Given) -> tuple[Finding, ...]:
        """Give the findings of all firings of the rule, by their words."""
        if self.fixed is not None:
            return (self._finding(self.fixed, firings, concluded, given),)
        groups: dict[Words, list[Firing]] = {}
        for firing in firings:
            groups.setdefault(self._words(firing, given), []).append(firing)
        found = [self._finding(words, same, concluded, given) for words, same in groups.items()]
        return tuple(sorted(found, key=lambda one: (one.says, one.do or "", repr(one.tests))))

    def _words(self, firing: Firing, given: Given) -> Words:
        """Fill in what is to be filled. A test whose fact has no value is left out."""
        tests = [test.filled(firing, given) for test in self.tests]
        return (
            self.says.filled(firing, given),
            None if self.do is None else self.do.filled(firing, given),
            tuple([test for test in tests if test is not None]),
        )

    def _finding(self, words: Words, firings: list[Firing], concluded: Concluded, given: Given) -> Finding:
        says, do, tests = words
        conductors = tuple(sorted({conductor for firing in firings for conductor in firing.conductors}))
        rests_on = self.grounds.lines(firings, concluded, given)
        return Finding(firings[0].rule, says, tests, conductors, do, rests_on)


_RULE_ID = attrgetter("id")


class Sayings:
    """Tells what the firings of a question mean, by the rules of one rulebook.

    What a rule says on the same grounds is told once and remembered, so that findings are shared between questions.
    """

    def __init__(self, rules: Iterable[Rule], always: Iterable[Firing]) -> None:
        """Read the rules. `always` are the firings of those that always hold."""
        rules, always = list(rules), list(always)
        by_id = sorted(rules, key=_RULE_ID)
        self._of_rules = {rule.id: Saying.of(rule, number) for number, rule in enumerate(by_id)}
        #: What is known before any question; those with places to fill are left to each.
        self._settled: dict[int, tuple[Finding, ...]] = {
            saying.number: (saying.always,)
            for one in always
            if (saying := self._of_rules[one.rule.id]).always is not None
        }
        self._unsettled = [one for one in always if self._of_rules[one.rule.id].always is None]
        self._concluding = {one.id: one.effect.concludes for one in rules if one.effect.concludes is not None}
        settled = [one.rule.id for one in always if self._of_rules[one.rule.id].always is not None]
        self._settled_concluding = [rule_id for rule_id in settled if rule_id in self._concluding]
        self._told: dict[tuple[Any, ...], tuple[Finding, ...]] = {}

    def findings(self, firings: Iterable[Firing], given: Given) -> tuple[Finding, ...]:
        """Give the findings for all firings of a question, by rule id, then words; what always holds among them."""
        of_rules: dict[str, list[Firing]] = {}
        for firing in (*self._unsettled, *firings):
            alike = of_rules.get(firing.rule.id)
            if alike is None:
                of_rules[firing.rule.id] = [firing]
            else:
                alike.append(firing)
        concluded = self._concluded(of_rules)
        told, sayings = self._told, self._of_rules
        found = self._settled.copy()
        together = given.together
        for rule_id, alike in of_rules.items():
            saying = sayings[rule_id]
            if saying.by_lines and together is not None:
                key: tuple[Any, ...] = (saying, *map(together, saying.together))
            else:
                key = saying.depends_on(alike, concluded, given)
            known = told.get(key)
            if known is None:
                known = saying.findings(alike, concluded, given)
                if len(told) >= _REMEMBERED:
                    told.clear()
                told[key] = known
            found[saying.number] = known
        return tuple(itertools.chain.from_iterable([found[number] for number in sorted(found)]))

    def _concluded(self, of_rules: Mapping[str, list[Firing]]) -> Concluded:
        found: dict[Condition, list[str]] = {}
        for rule_id in (*self._settled_concluding, *(rule_id for rule_id in of_rules if rule_id in self._concluding)):
            found.setdefault(self._concluding[rule_id], []).append(rule_id)
        return {condition: tuple(sorted(ids)) for condition, ids in found.items()}
