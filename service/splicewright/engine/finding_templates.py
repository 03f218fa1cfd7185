"""How a rule tells what it found: its words and the values of its demands, filled from the facts that it fired on.

`{conductor.size}` is of the conductor that the first pattern on conductors matched, `{conductor.2.size}` of
the second pattern's; `{condition.place}` is the word of a matched condition; all else are single facts. What a finding
rests on is its provenance: the facts that the rule matched, followed back to what was given.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, NamedTuple

from splicewright.engine.faults import MOST_RULES, RulebookTooLarge
from splicewright.engine.rule_groups import Condition, Firing
from splicewright.question.fact_kinds import Value, fact_kinds
from splicewright.question.facts import Facts
from splicewright.rulebook.effects import OF_PROPOSALS
from splicewright.rulebook.model import IF_STATED, FactValue, ListingTest, Rule

NOT_STATED = "not stated"
_CONDITION = "condition."
_PLACE = re.compile(r"\{([a-z_]+\.[a-z0-9_.]+)\}")
_NUMBERED = re.compile(r"conductor\.([1-9][0-9]?)\.(.+)")


class FactReference(NamedTuple):
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
        if self.slot is None:
            if self.name.startswith(_CONDITION):
                key = self.name.removeprefix(_CONDITION)
                return next((word for found, word in firing.conditions if found == key), NOT_STATED)
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


class Template(NamedTuple):
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


class OpenTest(NamedTuple):
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

    def filled(self, firing: Firing, facts: Facts) -> tuple[object, ...] | None:
        """Give the values coded, a list's word by word; None where a fact has no value."""
        if self.values is None:
            return self.test.values
        found: list[object] = []
        for value in self.values:
            known = value.coded(firing, facts) if isinstance(value, FactReference) else value
            if known is None:
                return None
            found += known if isinstance(known, tuple) else [known]
        return tuple(found)


#: The ids of the rules that concluded each condition.
Concluded = Mapping[Condition, tuple[str, ...]]


class Provenance(NamedTuple):
    """The facts that a rule's findings rest on: those tested, and those that the tested measures read."""

    single: tuple[str, ...]  # in the order of their lines
    every: tuple[str, ...]  # of every conductor: what the measures of the joint read
    matched: tuple[tuple[str, ...], ...]  # of the conductor matched, for each pattern on conductors
    conditional: bool = False  # whether it rests on conditions, and so on the rules that concluded them

    @classmethod
    def of(cls, rule: Rule) -> Provenance:
        """Read a rule."""
        tested = [test.name for one in rule.when if one.scope == "single" for test in one.tests]
        read = _with_reads(tested)
        matched = [_with_reads([test.name for test in one.tests]) for one in rule.when if one.scope == "conductor"]
        single = {name for names in (read, *matched) for name in names if not _of_conductor(name)}
        return cls(
            # as their lines are sorted, so that most findings need no sorting
            tuple(sorted(single, key=lambda name: f"{name}: ")),
            tuple(sorted(filter(_of_conductor, read))),
            tuple(tuple(sorted(filter(_of_conductor, names))) for names in matched),
            any(pattern.scope == "condition" for pattern in rule.when),
        )

    def lines(self, firings: Sequence[Firing], facts: Facts, concluded: Concluded) -> tuple[str, ...]:
        """Give the facts that a finding of these firings rests on and the ids of the concluding rules, sorted."""
        found = [line for line in map(facts.lines.__getitem__, self.single) if line]
        if not (self.every or self.matched or self.conditional):
            return tuple(found)
        for lines in facts.conductor_lines if self.every else ():
            found += [line for line in map(lines.__getitem__, self.every) if line]
        for firing in firings:
            for conductor, names in zip(firing.conductors, self.matched, strict=True):
                found += [line for line in map(facts.conductor_lines[conductor].__getitem__, names) if line]
            for condition in firing.conditions:
                found += concluded[condition]
        return tuple(sorted(set(found)))


def _of_conductor(name: str) -> bool:
    return name.startswith("conductor.")


def _with_reads(names: list[str]) -> set[str]:
    return {*names, *(read for name in names for read in fact_kinds()[name].reads)}


@dataclass(frozen=True, slots=True)
class Statement:
    """What a rule says: its words with their places filled, and its tests with coded values.

    One is shared by all questions to which the rule says so. `kept` is for whoever reads on: what was made of it.
    """

    rule: Rule
    says: str
    do: str | None
    tests: tuple[ListingTest, ...]
    provenance: Provenance = field(repr=False, compare=False)
    kept: dict[Any, Any] = field(default_factory=dict, init=False, repr=False, compare=False)


#: What findings do: the effects of their rules, bars by what they stand in the way of, steps with a figure apart.
KINDS = (
    "conclude",
    "demand",
    "demand-if-stated",  # of what few listings state: told only where one does
    "joint-bar",
    "method-bar",
    "refer",
    "prefer",
    "figure",
    "step",
    "caution",
    *OF_PROPOSALS,
    "arise",
)


def kind_of(rule: Rule) -> str:
    """Give what the findings of a rule do: one of `KINDS`, or `refuse`."""
    effect = rule.effect
    if effect.kind == "step":
        return "step" if effect.value is None else "figure"
    if effect.kind == "demand" and all(test.operator == IF_STATED for test in effect.tests):
        return "demand-if-stated"
    if effect.kind != "bar":
        return effect.kind
    return "method-bar" if effect.methods else "joint-bar"


def derived_rules(rules: Iterable[Rule]) -> list[Rule]:
    """Give the rules that an engine derives, each once, by what they do, then by id.

    Rules for `refuse` are left out: `choice/` looks them up. Raises `RulebookTooLarge`.
    """
    each = {id(rule): rule for rule in rules if kind_of(rule) in KINDS}
    if len(each) > MOST_RULES:
        # One of an amendment before one of the code beneath: that goes on without the amendment.
        one = sorted(each.values(), key=lambda rule: (rule.amendment or "", rule.id))[MOST_RULES]
        raise RulebookTooLarge(one.id, f"is one of more than {MOST_RULES} rules; leave some out")
    return sorted(each.values(), key=lambda rule: (KINDS.index(kind_of(rule)), rule.id))


#: What a finding says and does, and the values that its tests ask: firings that agree in it are one finding.
Words = tuple[str, str | None, "tuple[tuple[object, ...] | None, ...]"]


@dataclass(frozen=True, slots=True, eq=False)
class FindingTemplate:
    """How a rule's findings are told. `fixed` is what it says where there is nothing to fill."""

    rule: Rule
    says: Template
    do: Template | None
    tests: tuple[OpenTest, ...]
    provenance: Provenance
    fixed: Statement | None

    @classmethod
    def of(cls, rule: Rule) -> FindingTemplate:
        """Read a rule."""
        effect = rule.effect
        says, do = Template.read(rule.says), None if effect.do is None else Template.read(effect.do)
        tests = tuple(OpenTest.read(test) for test in effect.tests)
        provenance = Provenance.of(rule)
        fixed: Statement | None = None
        if says.fixed and (do is None or do.fixed) and all(test.values is None for test in tests):
            fixed = Statement(rule, rule.says, effect.do, effect.tests, provenance)
        return cls(rule, says, do, tests, provenance, fixed)

    def words(self, firing: Firing, facts: Facts) -> Words:
        """Fill in what is to be filled."""
        return (
            self.says.filled(firing, facts),
            None if self.do is None else self.do.filled(firing, facts),
            tuple([test.filled(firing, facts) for test in self.tests]),
        )

    def statement(self, words: Words) -> Statement:
        """Make what the rule says in these words. A test whose fact has no value is left out."""
        says, do, values = words
        tests = [
            ListingTest(one.test.attribute, one.test.operator, some)
            for one, some in zip(self.tests, values, strict=True)
            if some is not None
        ]
        return Statement(self.rule, says, do, tuple(tests), self.provenance)
