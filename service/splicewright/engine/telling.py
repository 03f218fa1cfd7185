"""How a rule tells what it found: its words with the facts filled in, and the facts that decide them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any

from splicewright.engine.looks import EVERY
from splicewright.engine.program import Condition, Firing
from splicewright.engine.proof import Grounds
from splicewright.engine.wording import OpenTest, Place, Template
from splicewright.question.facts import Facts, share_places
from splicewright.rulebook.effects import OF_PROPOSALS
from splicewright.rulebook.model import ListingTest, Rule


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


#: What findings do: the effects of their rules, bars by what they stand in the way of.
KINDS = ("conclude", "demand", "joint-bar", "method-bar", "refer", "prefer", "step", "caution", *OF_PROPOSALS, "arise")


def kind_of(rule: Rule) -> str:
    """Give what the findings of a rule do: one of `KINDS`, or `refuse`."""
    effect = rule.effect
    if effect.kind != "bar":
        return effect.kind
    return "method-bar" if effect.methods else "joint-bar"


#: What a finding says, does and asks: firings that agree in it are one finding.
Words = tuple[str, str | None, "tuple[ListingTest, ...]"]
Concluded = Mapping[Condition, tuple[str, ...]]  # condition -> ids of the rules that concluded it


@dataclass(frozen=True, slots=True)
class Told:
    """The facts that decide what a rule tells, by name: single ones, of every conductor, of each conductor matched."""

    single: tuple[str, ...]
    every: tuple[str, ...]
    matched: tuple[tuple[str, ...], ...]

    @classmethod
    def by(cls, rule: Rule) -> Told:
        """Read a rule."""
        grounds, places = Grounds.of(rule), list(_places(rule))
        single = (*grounds.single, *(one.name for one in places if one.slot is None))
        matched = [
            (*names, *(one.name for one in places if one.slot == slot)) for slot, names in enumerate(grounds.matched)
        ]
        return cls(_known(single), grounds.every, tuple(map(_known, matched)))


def _places(rule: Rule) -> Iterator[Place]:
    effect = rule.effect
    for words in filter(None, (rule.says, effect.do)):
        yield from (one for one in Template.read(words).parts if isinstance(one, Place))
    for test in effect.tests:
        yield from (one for one in OpenTest.read(test).values or () if isinstance(one, Place))


def _known(names: tuple[str, ...]) -> tuple[str, ...]:
    """Leave out what is no fact: conditions, and names that mean nothing."""
    return tuple(dict.fromkeys(name for name in names if name in share_places()))


@dataclass(frozen=True, slots=True, eq=False)
class Saying:
    """How a rule's findings are told.

    `fixed` has the words where there is nothing to fill, `always` the finding where all of it is known.
    """

    number: int
    says: Template
    do: Template | None
    tests: tuple[OpenTest, ...]
    grounds: Grounds
    fixed: Words | None
    always: Finding | None
    told: Told
    by_case: bool  # whether it may fire on several rows that differ in conditions

    @classmethod
    def of(cls, rule: Rule, number: int) -> Saying:
        """Read a rule. `number` is its place among all rules by kind and id."""
        effect = rule.effect
        says, do = Template.read(rule.says), None if effect.do is None else Template.read(effect.do)
        tests = tuple(OpenTest.read(test) for test in effect.tests)
        fixed = says.fixed and (do is None or do.fixed) and all(test.values is None for test in tests)
        words = (rule.says, effect.do, effect.tests)
        return cls(
            number,
            says,
            do,
            tests,
            Grounds.of(rule),
            words if fixed else None,
            Finding(rule, rule.says, effect.tests, (), effect.do) if fixed and not rule.when else None,
            Told.by(rule),
            any(len(test.values) > 1 for one in rule.when if one.scope == "condition" for test in one.tests),
        )

    def depends_on(self, firings: list[Firing], concluded: Concluded, facts: Facts) -> tuple[Any, ...]:
        """Give all that decides the findings of these firings."""
        places, told = share_places(), self.told
        found: list[Any] = [self]
        for name in told.single:
            share = facts.shares[places[name]]
            found += (share.facts.get(name), share.lines.get(name))
        if told.every:
            every = facts.shares[places[EVERY]].every
            found += map(every.get, told.every)
        for one in firings:
            found += (one.conductors, one.conditions, *[concluded[condition] for condition in one.conditions])
            for conductor, names in zip(one.conductors, told.matched, strict=True):
                for name in names:
                    share = facts.conductor_shares[conductor][places[name]]
                    found += (share.facts.get(name), share.lines.get(name))
        return tuple(found)

    def findings(self, firings: list[Firing], concluded: Concluded, facts: Facts) -> tuple[Finding, ...]:
        """Give the findings of all firings of the rule, by their words."""
        if self.fixed is not None:
            return (self._finding(self.fixed, firings, concluded, facts),)
        groups: dict[Words, list[Firing]] = {}
        for firing in firings:
            groups.setdefault(self._words(firing, facts), []).append(firing)
        found = [self._finding(words, same, concluded, facts) for words, same in groups.items()]
        return tuple(sorted(found, key=lambda one: (one.says, one.do or "", repr(one.tests))))

    def _words(self, firing: Firing, facts: Facts) -> Words:
        """Fill in what is to be filled. A test whose fact has no value is left out."""
        tests = [test.filled(firing, facts) for test in self.tests]
        return (
            self.says.filled(firing, facts),
            None if self.do is None else self.do.filled(firing, facts),
            tuple([test for test in tests if test is not None]),
        )

    def _finding(self, words: Words, firings: list[Firing], concluded: Concluded, facts: Facts) -> Finding:
        says, do, tests = words
        conductors = tuple(sorted({conductor for firing in firings for conductor in firing.conductors}))
        rests_on = self.grounds.lines(firings, concluded, facts)
        return Finding(firings[0].rule, says, tests, conductors, do, rests_on)
