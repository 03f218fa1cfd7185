"""How a rule tells what it found: its words and the values of its demands, filled from the facts that it fired on.

`{conductor.size}` is of the conductor that the first pattern on conductors matched, `{conductor.2.size}` of
the second pattern's; `{condition.place}` is the word of a matched condition; all else are single facts.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
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
_CONDITION = "condition."
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


REMEMBERED = (
    4_000  # statements of rules whose words are filled, at some 1,500 bytes each, what is made of them included
)


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


class Finding:
    """One thing that a `rule` says of a question: a `statement`, with what it rests on there."""

    __slots__ = ("_fired", "_firings", "_number", "rule", "statement")

    def __init__(
        self, statement: Statement, fired: FiredRules, number: int, firings: Sequence[Firing] | None = None
    ) -> None:
        """Take what the rule of a number says; None for the firings of which it says so: all of them."""
        self.statement, self.rule = statement, statement.rule
        self._fired, self._number, self._firings = fired, number, firings

    def __repr__(self) -> str:
        """Name the rule, and show what it says."""
        return f"Finding({self.rule.id!r}, {self.says!r})"

    def __eq__(self, other: object) -> bool:
        """Compare what is said, of which conductors."""
        return isinstance(other, Finding) and (self.statement, self.conductors) == (other.statement, other.conductors)

    def __hash__(self) -> int:
        return hash(self.statement)

    @property
    def says(self) -> str:
        """The rule's words, their places filled."""
        return self.statement.says

    @property
    def do(self) -> str | None:
        """What a step does, its places filled."""
        return self.statement.do

    @property
    def tests(self) -> tuple[ListingTest, ...]:
        """The tests of a demand or a preference, their values coded."""
        return self.statement.tests

    @property
    def kept(self) -> dict[Any, Any]:
        """What was made of the statement."""
        return self.statement.kept

    @property
    def firings(self) -> Sequence[Firing]:
        """The firings of the rule that say so."""
        if self._firings is None:
            self._firings = self._fired.firings(self._number)
        return self._firings

    @property
    def conductors(self) -> tuple[int, ...]:
        """Indexes into the question's conductors, of those matched."""
        return tuple(sorted({conductor for firing in self.firings for conductor in firing.conductors}))

    @property
    def rests_on(self) -> tuple[str, ...]:
        """The facts as `name: printed value` and the ids of the rules that concluded the conditions matched, sorted.

        Empty for a rule that always holds.
        """
        return self.statement.provenance.lines(self.firings, self._fired)


#: What findings do: the effects of their rules, bars by what they stand in the way of.
KINDS = ("conclude", "demand", "joint-bar", "method-bar", "refer", "prefer", "step", "caution", *OF_PROPOSALS, "arise")


def kind_of(rule: Rule) -> str:
    """Give what the findings of a rule do: one of `KINDS`, or `refuse`."""
    effect = rule.effect
    if effect.kind != "bar":
        return effect.kind
    return "method-bar" if effect.methods else "joint-bar"


#: What a finding says and does, and the values that its tests ask: firings that agree in it are one finding.
Words = tuple[str, str | None, "tuple[tuple[object, ...] | None, ...]"]


#: What a rule that always holds rests on.
_NOTHING = FiredRules((), Facts.of({}), 0, 0, 0, (), ())


@dataclass(frozen=True, slots=True, eq=False)
class FindingTemplate:
    """How a rule's findings are told. `fixed` is what it says where there is nothing to fill.

    `always` are the findings of one that tells of no fact at all.
    """

    rule: Rule
    says: Template
    do: Template | None
    tests: tuple[OpenTest, ...]
    provenance: Provenance
    fixed: Statement | None
    always: tuple[Finding, ...]

    @classmethod
    def of(cls, rule: Rule) -> FindingTemplate:
        """Read a rule."""
        effect = rule.effect
        says, do = Template.read(rule.says), None if effect.do is None else Template.read(effect.do)
        tests = tuple(OpenTest.read(test) for test in effect.tests)
        provenance = Provenance.of(rule)
        fixed: Statement | None = None
        always: tuple[Finding, ...] = ()
        if says.fixed and (do is None or do.fixed) and all(test.values is None for test in tests):
            fixed = Statement(rule, rule.says, effect.do, effect.tests, provenance)
            always = () if rule.when else (Finding(fixed, _NOTHING, 0, [Firing(rule)]),)
        return cls(rule, says, do, tests, provenance, fixed, always)

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


class FindingTemplates:
    """The templates of all rules, by number. What a rule says in the same words is one statement, and remembered."""

    def __init__(self, rules: Sequence[Rule]) -> None:
        """Take rules in the order of their numbers. A rule's template is read when it first fires: most never do."""
        self._rules = rules
        self._templates: list[FindingTemplate | None] = [None] * len(rules)
        self._told: Memo[tuple[int, Words], Statement] = Memo(REMEMBERED)

    def findings(self, rules: int, fired: FiredRules) -> tuple[Finding, ...]:
        """Give the findings of rules that fired, given as bits: by rule, then by their words."""
        found: list[Finding] = []
        first = max((rules & -rules).bit_length() - 1, 0)  # the rules of a kind stand together: fewer bits are handled
        for number in numbers_of(rules >> first):
            template = self._templates[first + number] or self._read(first + number)
            if template.always:
                found += template.always
            elif template.fixed is not None:
                found.append(Finding(template.fixed, fired, first + number))
            else:
                found += self._filled(first + number, template, fired)
        return tuple(found)

    def _read(self, number: int) -> FindingTemplate:
        template = self._templates[number] = FindingTemplate.of(self._rules[number])
        return template

    def _filled(self, number: int, template: FindingTemplate, fired: FiredRules) -> list[Finding]:
        """Give the findings of all firings of a rule whose words are to be filled, by these words."""
        groups: dict[Words, list[Firing]] = {}
        for firing in fired.firings(number):
            groups.setdefault(template.words(firing, fired.facts), []).append(firing)
        found = [
            Finding(self._statement(number, template, words), fired, number, same) for words, same in groups.items()
        ]
        return sorted(found, key=lambda one: (one.says, one.do or "", repr(one.tests))) if len(found) > 1 else found

    def _statement(self, number: int, template: FindingTemplate, words: Words) -> Statement:
        known = self._told.get((number, words))
        if known is None:
            known = self._told.keep((number, words), template.statement(words))
        return known
