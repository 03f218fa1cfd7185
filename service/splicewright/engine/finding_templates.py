"""How a rule tells what it found: its words and the values of its demands, filled from the facts that it fired on.

`{conductor.size}` is of the conductor that the first pattern on conductors matched, `{conductor.2.size}` of
the second pattern's; `{condition.place}` is the word of a matched condition; all else are single facts.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from typing import Any

from splicewright.engine.fired_rules import FiredRules, Provenance, numbers_of
from splicewright.engine.rule_groups import Firing
from splicewright.memo import Memo
from splicewright.question.fact_kinds import Value
from splicewright.question.facts import Facts
from splicewright.rulebook.effects import OF_PROPOSALS
from splicewright.rulebook.model import FactValue, ListingTest, Rule

NOT_STATED = "not stated"
_PLACE = re.compile(r"\{([a-z_]+\.[a-z0-9_.]+)\}")
_NUMBERED = re.compile(r"conductor\.([1-9][0-9]?)\.(.+)")


@dataclass(frozen=True, slots=True)
class FactReference:
    """A fact named in a rule. Of a conductor, `slot` counts its pattern among those on conductors from 0."""

    name: str
    slot: int | None

    @classmethod
    def read(cls, name: str) -> FactReference:
        """Read a name as rules write it."""
        numbered = _NUMBERED.fullmatch(name)
        if numbered:
            return cls(f"conductor.{numbered[2]}", int(numbered[1]) - 1)
        return cls(name, 0 if name.startswith("conductor.") else None)

    def text(self, firing: Firing, facts: Facts) -> str:
        """Print the fact's value, or that it was not stated."""
        scope, _, key = self.name.partition(".")
        if scope == "condition":
            return next((word for found, word in firing.conditions if found == key), NOT_STATED)
        if self.slot is None:
            return facts.text(self.name) or NOT_STATED
        if self.slot >= len(firing.conductors):
            return NOT_STATED
        return facts.text(self.name, firing.conductors[self.slot]) or NOT_STATED

    def coded(self, firing: Firing, facts: Facts) -> Value | None:
        """Give the fact's value as coded, or None where it has none."""
        if self.slot is None:
            return facts.value(self.name)
        if self.slot >= len(firing.conductors):
            return None
        return facts.value(self.name, firing.conductors[self.slot])


@dataclass(frozen=True, slots=True)
class Template:
    """A rule's words, cut at the places to be filled."""

    words: str
    parts: tuple[str | FactReference, ...]

    @classmethod
    def read(cls, words: str) -> Template:
        """Read a rule's words. What stands in braces but is no name is kept as it is."""
        cut = _PLACE.split(words)
        return cls(words, tuple(FactReference.read(part) if at % 2 else part for at, part in enumerate(cut)))

    @property
    def fixed(self) -> bool:
        """Whether there is no place to fill."""
        return len(self.parts) == 1

    def filled(self, firing: Firing, facts: Facts) -> str:
        """Give the words for one firing."""
        if len(self.parts) == 1:
            return self.words
        return "".join([part if isinstance(part, str) else part.text(firing, facts) for part in self.parts])


@dataclass(frozen=True, slots=True)
class OpenTest:
    """A test of a demand or a preference. `values` is None where none is taken from a fact."""

    test: ListingTest
    values: tuple[object, ...] | None

    @classmethod
    def read(cls, test: ListingTest) -> OpenTest:
        """Read a test."""
        if not any(isinstance(value, FactValue) for value in test.values):
            return cls(test, None)
        return cls(
            test, tuple(FactReference.read(one.fact) if isinstance(one, FactValue) else one for one in test.values)
        )

    def filled(self, firing: Firing, facts: Facts) -> ListingTest | None:
        """Give the test with coded values, a list's word by word; None where a fact has no value."""
        if self.values is None:
            return self.test
        found: list[object] = []
        for value in self.values:
            known = value.coded(firing, facts) if isinstance(value, FactReference) else value
            if known is None:
                return None
            found += known if isinstance(known, tuple) else [known]
        return ListingTest(self.test.attribute, self.test.operator, tuple(found))


REMEMBERED = 4_000  # findings of a rule on given grounds, at some 1,500 bytes each, what is made of them included


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


@dataclass(frozen=True, slots=True)
class _Told:
    """The facts that decide what a rule tells, by name: those of the joint, and those of each conductor matched.

    Of `printed` ones it tells the line, of the others the value.
    """

    printed: tuple[str, ...]
    valued: tuple[str, ...]
    of_matched: tuple[tuple[str, ...], ...]
    valued_of_matched: tuple[tuple[str, ...], ...]

    @classmethod
    def by(cls, rule: Rule, provenance: Provenance) -> _Told:
        printed, valued = list(_places_in_words(rule)), list(_places_in_tests(rule))
        return cls(
            tuple(dict.fromkeys((*provenance.single, *_of_slot(printed, None)))),
            _of_slot(valued, None),
            tuple(
                tuple(dict.fromkeys((*names, *_of_slot(printed, slot))))
                for slot, names in enumerate(provenance.matched)
            ),
            tuple(_of_slot(valued, slot) for slot in range(len(provenance.matched))),
        )


def _places_in_words(rule: Rule) -> Iterator[FactReference]:
    for words in filter(None, (rule.says, rule.effect.do)):
        yield from (part for part in Template.read(words).parts if isinstance(part, FactReference))


def _places_in_tests(rule: Rule) -> Iterator[FactReference]:
    for test in rule.effect.tests:
        yield from (value for value in OpenTest.read(test).values or () if isinstance(value, FactReference))


def _of_slot(places: Iterable[FactReference], slot: int | None) -> tuple[str, ...]:
    return tuple(dict.fromkeys(place.name for place in places if place.slot == slot))


@dataclass(frozen=True, slots=True, eq=False)
class FindingTemplate:
    """How a rule's findings are told. `fixed` has the words where there is nothing to fill.

    A `joint` rule matches neither conductors nor conditions: single facts alone decide. `always` are the findings of
    one that tells of no fact at all.
    """

    rule: Rule
    says: Template
    do: Template | None
    tests: tuple[OpenTest, ...]
    provenance: Provenance
    fixed: Words | None
    told: _Told
    joint: bool
    always: tuple[Finding, ...]

    @classmethod
    def of(cls, rule: Rule) -> FindingTemplate:
        """Read a rule."""
        effect = rule.effect
        says, do = Template.read(rule.says), None if effect.do is None else Template.read(effect.do)
        tests = tuple(OpenTest.read(test) for test in effect.tests)
        fixed = says.fixed and (do is None or do.fixed) and all(test.values is None for test in tests)
        provenance = Provenance.of(rule)
        return cls(
            rule,
            says,
            do,
            tests,
            provenance,
            (rule.says, effect.do, effect.tests) if fixed else None,
            _Told.by(rule, provenance),
            all(pattern.scope == "single" for pattern in rule.when),
            (Finding(rule, rule.says, effect.tests, (), effect.do),) if fixed and not rule.when else (),
        )

    def depends_on(self, firings: Sequence[Firing], fired: FiredRules) -> tuple[Any, ...]:
        """Give all that decides the findings of these firings; of a `joint` rule none are needed."""
        told, facts = self.told, fired.facts
        found: list[Any] = [self, *map(facts.lines.get, told.printed)]
        if told.valued:
            found += map(facts.single.get, told.valued)
        if self.provenance.every:
            found += map(facts.every.get, self.provenance.every)
        for firing in firings:
            found += (firing.conductors, firing.conditions)
            found += [fired.concluded[condition] for condition in firing.conditions]
            for at, conductor in enumerate(firing.conductors):
                found += map(facts.conductor_lines[conductor].get, told.of_matched[at])
                found += map(facts.conductors[conductor].get, told.valued_of_matched[at])
        return tuple(found)

    def findings(self, firings: Sequence[Firing], fired: FiredRules) -> tuple[Finding, ...]:
        """Give the findings of all firings of the rule, by their words."""
        if self.fixed is not None:
            return (self._finding(self.fixed, firings, fired),)
        groups: dict[Words, list[Firing]] = {}
        for firing in firings:
            groups.setdefault(self._words(firing, fired), []).append(firing)
        found = [self._finding(words, same, fired) for words, same in groups.items()]
        return tuple(sorted(found, key=lambda one: (one.says, one.do or "", repr(one.tests))))

    def _words(self, firing: Firing, fired: FiredRules) -> Words:
        """Fill in what is to be filled. A test whose fact has no value is left out."""
        facts = fired.facts
        tests = [test.filled(firing, facts) for test in self.tests]
        return (
            self.says.filled(firing, facts),
            None if self.do is None else self.do.filled(firing, facts),
            tuple([test for test in tests if test is not None]),
        )

    def _finding(self, words: Words, firings: Sequence[Firing], fired: FiredRules) -> Finding:
        says, do, tests = words
        conductors = tuple(sorted({conductor for firing in firings for conductor in firing.conductors}))
        rests_on = self.provenance.lines(firings, fired.concluded if firings[0].conditions else {}, fired.facts)
        return Finding(self.rule, says, tests, conductors, do, rests_on)


class FindingTemplates:
    """The templates of all rules, by number. What a rule says on the same grounds is told once and remembered."""

    def __init__(self, rules: Iterable[Rule]) -> None:
        """Read rules in the order of their numbers."""
        self._templates = tuple(map(FindingTemplate.of, rules))
        self._always = tuple([template.always for template in self._templates])
        self._told: Memo[tuple[Any, ...], tuple[Finding, ...]] = Memo(REMEMBERED)

    def findings(self, rules: int, fired: FiredRules) -> tuple[Finding, ...]:
        """Give the findings of rules that fired, given as bits: by rule, then by their words."""
        found: list[Finding] = []
        first = max((rules & -rules).bit_length() - 1, 0)  # the rules of a kind stand together: fewer bits are handled
        for number in numbers_of(rules >> first):
            found += self._always[first + number] or self._findings(first + number, fired)
        return tuple(found)

    def _findings(self, number: int, fired: FiredRules) -> tuple[Finding, ...]:
        template = self._templates[number]
        firings = () if template.joint else fired.firings(number)
        key = template.depends_on(firings, fired)
        known = self._told.get(key)
        if known is None:
            known = self._told.keep(key, template.findings(firings or fired.firings(number), fired))
        return known
