"""All rules that fired on the facts of one question."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

from splicewright.engine.firings import Condition, Firing
from splicewright.engine.rule_groups import RulePatterns
from splicewright.question.facts import Facts

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
