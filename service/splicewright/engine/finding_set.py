"""The rules that fired on the facts of one question, and all that they found in it, told when it is first asked for."""

from __future__ import annotations

import itertools
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from splicewright.engine.finding_templates import KINDS, Concluded, FindingTemplate, Statement, Words
from splicewright.engine.rule_groups import Condition, Firing, RulePatterns
from splicewright.memo import Memo
from splicewright.question.facts import Facts
from splicewright.rulebook.model import ListingTest, Rule

REMEMBERED = (
    4_000  # statements of rules whose words are filled, at some 1,500 bytes each, what is made of them included
)


@dataclass(eq=False)  # not frozen: one is made for each question that is tried
class FiredRules:
    """The rules that fired on the facts of one question, as bits, and what is needed to tell on what.

    `held` are the conditions that hold, by place, as bits. `first` and `second` have for each conductor the rules whose
    first and second pattern on conductors it fills.
    """

    patterns: Sequence[RulePatterns]
    facts: Facts
    fired: int
    concluding: int
    held: int
    first: Sequence[int]
    second: Sequence[int]

    def firings(self, number: int) -> list[Firing]:
        """Give all firings of a rule that fired, by its number."""
        found = self.patterns[number]
        choices = [choice for choice in found.choices if choice.needs & self.held == choice.needs]
        if not found.conductors:
            return [choice.firing for choice in choices]
        chosen = self._one(number) if len(found.conductors) == 1 else self._two(number)
        return [Firing(found.rule, conductors, choice.firing.conditions) for conductors in chosen for choice in choices]

    def _one(self, number: int) -> list[tuple[int, ...]]:
        """Give each conductor that fills the pattern of a rule."""
        return [(at,) for at, rules in enumerate(self.first) if rules >> number & 1]

    def _two(self, number: int) -> list[tuple[int, ...]]:
        """Give each pair of different conductors that fills the patterns of a rule, in their order."""
        second = [at for at, rules in enumerate(self.second) if rules >> number & 1]
        return [(at, other) for (at,) in self._one(number) for other in second if other != at]

    @cached_property
    def concluded(self) -> Concluded:
        """The ids of the rules that concluded each condition that holds, sorted."""
        found: dict[Condition, list[str]] = {}
        for number in numbers_of(self.fired & self.concluding):
            rule = self.patterns[number].rule
            found.setdefault(rule.effect.concludes, []).append(rule.id)  # type: ignore[arg-type]
        return {condition: tuple(sorted(ids)) for condition, ids in found.items()}


def numbers_of(bits: int, first: int = 0) -> list[int]:
    """Give the places of the bits that are set, lowest first; `first` is that of the lowest."""
    found, first = list[int](), first - 1
    while bits:
        lowest = bits & -bits
        found.append(first + lowest.bit_length())
        bits ^= lowest
    return found


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
        fired, provenance = self._fired, self.statement.provenance
        return provenance.lines(self.firings, fired.facts, fired.concluded if provenance.conditional else {})

    @property
    def rests_on_rules(self) -> tuple[str, ...]:
        """The ids of the rules that concluded the conditions matched, each once."""
        if not self.statement.provenance.conditional:
            return ()
        matched = dict.fromkeys(condition for firing in self.firings for condition in firing.conditions)
        return tuple(dict.fromkeys(rule for condition in matched for rule in self._fired.concluded[condition]))


#: What a rule that always holds rests on.
_NOTHING = FiredRules((), Facts.of({}), 0, 0, 0, (), ())


class FindingTemplates:
    """The templates of all rules, by number. What a rule says in the same words is one statement, and remembered."""

    def __init__(self, rules: Sequence[Rule]) -> None:
        """Take rules in the order of their numbers. A rule's template is read when it first fires: most never do."""
        self._rules = rules
        self._templates: list[FindingTemplate | None] = [None] * len(rules)
        self._always: dict[int, Finding] = {}  # of rules that tell of no fact at all
        self._told: Memo[tuple[int, Words], Statement] = Memo(REMEMBERED)

    def findings(self, rules: int, fired: FiredRules) -> tuple[Finding, ...]:
        """Give the findings of rules that fired, given as bits: by rule, then by their words."""
        found: list[Finding] = []
        templates, always = self._templates, self._always
        first = max((rules & -rules).bit_length() - 1, 0)  # the rules of a kind stand together: fewer bits are handled
        for number in numbers_of(rules >> first, first):
            template = templates[number] or self._read(number)
            if template.fixed is not None:
                found.append(always.get(number) or Finding(template.fixed, fired, number))
            else:
                found += self._filled(number, template, fired)
        return tuple(found)

    def _read(self, number: int) -> FindingTemplate:
        rule = self._rules[number]
        template = self._templates[number] = FindingTemplate.of(rule)
        if template.fixed is not None and not rule.when:
            self._always[number] = Finding(template.fixed, _NOTHING, number, [Firing(rule)])
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


class FindingSet:
    """What the rules found, each kind of findings in the order of rule ids, then words."""

    __slots__ = ("_fired", "_numbers", "_templates", "_told")

    def __init__(self, fired: FiredRules, numbers: Mapping[str, int], templates: FindingTemplates) -> None:
        """Tell what fired, by the templates of the rules; `numbers` are the rules of each kind, as bits."""
        self._fired, self._numbers, self._templates = fired, numbers, templates
        self._told: dict[str, tuple[Finding, ...]] = {}

    @property
    def facts(self) -> Facts:
        """The facts of the question."""
        return self._fired.facts

    def without(self, *kinds: str) -> FindingSet:
        """Give the same without the findings of some kinds."""
        return FindingSet(self._fired, {**self._numbers, **dict.fromkeys(kinds, 0)}, self._templates)

    def with_all_demands(self) -> FindingSet:
        """Give the same with the demands on what only some listings state among the demands."""
        demands = self._numbers["demand"] | self._numbers["demand-if-stated"]
        return FindingSet(self._fired, {**self._numbers, "demand": demands, "demand-if-stated": 0}, self._templates)

    def of_kind(self, kind: str) -> tuple[Finding, ...]:
        """Give the findings of one of `KINDS`."""
        found = self._told.get(kind)
        if found is None:
            fired = self._fired
            found = self._templates.findings(fired.fired & self._numbers[kind], fired)
            if kind == "demand":  # of two kinds of rules, perhaps
                found = tuple(sorted(found, key=lambda one: one.rule.id))
            self._told[kind] = found
        return found

    @property
    def conclusions(self) -> tuple[Finding, ...]:
        """What was concluded."""
        return self.of_kind("conclude")

    @property
    def demands(self) -> tuple[Finding, ...]:
        """What is asked of the connector."""
        return self.of_kind("demand")

    @property
    def joint_bars(self) -> tuple[Finding, ...]:
        """What bars the joint."""
        return self.of_kind("joint-bar")

    @property
    def method_bars(self) -> tuple[Finding, ...]:
        """What bars methods."""
        return self.of_kind("method-bar")

    @property
    def referrals(self) -> tuple[Finding, ...]:
        """What hands the joint over."""
        return self.of_kind("refer")

    @property
    def preferences(self) -> tuple[Finding, ...]:
        """What is preferred of a connector."""
        return self.of_kind("prefer")

    @property
    def figures(self) -> tuple[Finding, ...]:
        """How the joint is made up, the steps that have a figure."""
        return self.of_kind("figure")

    @property
    def steps(self) -> tuple[Finding, ...]:
        """How the joint is made up."""
        return tuple(sorted((*self.figures, *self.of_kind("step")), key=lambda one: one.rule.id))

    @property
    def cautions(self) -> tuple[Finding, ...]:
        """What is to be minded."""
        return self.of_kind("caution")

    @property
    def defects(self) -> tuple[Finding, ...]:
        """Of proposed splices only: what is wrong with them."""
        return self.of_kind("defect")

    @property
    def asks(self) -> tuple[Finding, ...]:
        """Of proposed splices only: what must be stated."""
        return self.of_kind("ask")

    @property
    def tolerances(self) -> tuple[Finding, ...]:
        """Of proposed splices only: how far off a figure may be."""
        return self.of_kind("tolerance")

    @property
    def arising(self) -> tuple[Finding, ...]:
        """Of each concern the cases that arise."""
        return self.of_kind("arise")

    @property
    def always_told(self) -> tuple[tuple[Finding, ...], ...]:
        """The findings that every whole answer tells, whatever its options."""
        return (
            self.conclusions,
            self.demands,
            self.joint_bars,
            self.method_bars,
            self.referrals,
            self.cautions,
        )

    @property
    def blocked(self) -> str | None:
        """Give `refer` or `barred` where no connector can be chosen at all."""
        if self._fired.fired & self._numbers["refer"]:
            return "refer"
        return "barred" if self._fired.fired & self._numbers["joint-bar"] else None

    @property
    def findings(self) -> tuple[Finding, ...]:
        """All findings by rule id, then words."""
        return tuple(sorted(itertools.chain.from_iterable(self.kinds), key=lambda one: one.rule.id))

    @property
    def kinds(self) -> tuple[tuple[Finding, ...], ...]:
        """The findings of each kind."""
        return tuple(map(self.of_kind, KINDS))
