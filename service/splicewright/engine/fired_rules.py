"""All rules that fired on the facts of one question, and what a finding of theirs rests on: its provenance.

Provenance is the facts that a rule matched, followed back to what was given.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

from splicewright.engine.rule_groups import Condition, Firing, RulePatterns
from splicewright.question.fact_kinds import fact_kinds
from splicewright.question.facts import Facts
from splicewright.rulebook.model import Rule

#: The ids of the rules that concluded each condition.
Concluded = Mapping[Condition, tuple[str, ...]]


@dataclass(frozen=True)
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


def numbers_of(bits: int) -> Iterator[int]:
    """Give the places of the bits that are set, lowest first."""
    while bits:
        lowest = bits & -bits
        yield lowest.bit_length() - 1
        bits ^= lowest


@dataclass(frozen=True, slots=True)
class Provenance:
    """The facts that a rule's findings rest on: those tested, and those that the tested measures read."""

    single: tuple[str, ...]  # in the order of their lines
    every: tuple[str, ...]  # of every conductor: what the measures of the joint read
    matched: tuple[tuple[str, ...], ...]  # of the conductor matched, for each pattern on conductors

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
        )

    def lines(self, firings: Sequence[Firing], fired: FiredRules) -> tuple[str, ...]:
        """Give the facts that a finding of these firings rests on and the ids of the concluding rules, sorted."""
        facts = fired.facts
        found = [line for line in map(facts.lines.__getitem__, self.single) if line]
        if not (self.every or self.matched or firings[0].conditions):
            return tuple(found)
        for lines in facts.conductor_lines if self.every else ():
            found += [line for line in map(lines.__getitem__, self.every) if line]
        for firing in firings:
            for conductor, names in zip(firing.conductors, self.matched, strict=True):
                found += [line for line in map(facts.conductor_lines[conductor].__getitem__, names) if line]
            for condition in firing.conditions:
                found += fired.concluded[condition]
        return tuple(sorted(set(found)))


def _of_conductor(name: str) -> bool:
    return name.startswith("conductor.")


def _with_reads(names: list[str]) -> set[str]:
    return {*names, *(read for name in names for read in fact_kinds()[name].reads)}
