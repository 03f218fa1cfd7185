"""What a finding rests on: the facts that its rule matched, followed back to what was given."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from splicewright.engine.fired_rules import Concluded
from splicewright.engine.firings import Firing
from splicewright.question.fact_kinds import fact_kinds
from splicewright.question.facts import Facts
from splicewright.rulebook.model import Rule


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

    def lines(self, firings: Sequence[Firing], concluded: Concluded, facts: Facts) -> tuple[str, ...]:
        """Give the facts that a finding of these firings rests on and the ids of the concluding rules, sorted."""
        found = [line for line in map(facts.lines.get, self.single) if line]
        if not (self.every or self.matched or firings[0].conditions):
            return tuple(found)
        for name in self.every:
            found += facts.every.get(name, ())
        for firing in firings:
            for conductor, names in zip(firing.conductors, self.matched, strict=True):
                found += [line for line in map(facts.conductor_lines[conductor].get, names) if line]
            for condition in firing.conditions:
                found += concluded[condition]
        return tuple(sorted(set(found)))


def _of_conductor(name: str) -> bool:
    return name.startswith("conductor.")


def _with_reads(names: list[str]) -> set[str]:
    return {*names, *(read for name in names for read in fact_kinds()[name].reads)}
