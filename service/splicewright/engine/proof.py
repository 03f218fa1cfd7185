"""What a finding rests on: the facts that its rule matched, followed back to what was given."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from splicewright.engine.program import Condition, Firing
from splicewright.question.facts import Facts, fact_kinds
from splicewright.rulebook.model import Rule


@dataclass(frozen=True, slots=True)
class Grounds:
    """The facts that a rule's findings rest on: those tested, and those that the tested measures read."""

    single: tuple[str, ...]  # in the order of their lines
    every: tuple[str, ...]  # of every conductor: what the measures of the joint read
    matched: tuple[tuple[str, ...], ...]  # of the conductor matched, for each pattern on conductors

    @classmethod
    def of(cls, rule: Rule) -> Grounds:
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

    def lines(
        self, firings: Sequence[Firing], concluded: Mapping[Condition, tuple[str, ...]], given: Given
    ) -> tuple[str, ...]:
        """Give the facts that a finding of these firings rests on and the ids of the concluding rules, sorted."""
        found = [line for name in self.single if (line := given.single.get(name))]
        if not (self.every or self.matched or firings[0].conditions):
            return tuple(found)
        for name in self.every:
            found += [line for lines in given.conductors if (line := lines.get(name))]
        for firing in firings:
            for conductor, names in zip(firing.conductors, self.matched, strict=True):
                lines = given.conductors[conductor]
                found += [line for name in names if (line := lines.get(name))]
            for condition in firing.conditions:
                found += concluded[condition]
        return tuple(sorted(set(found)))


def _of_conductor(name: str) -> bool:
    return name.startswith("conductor.")


def _with_reads(names: list[str]) -> set[str]:
    return {*names, *(read for name in names for read in fact_kinds()[name].reads)}


class Given:
    """The facts of one question, coded and in print: `name: printed value`, nothing for a fact without a value."""

    __slots__ = ("conductors", "facts", "single", "together")

    def __init__(self, facts: Facts) -> None:
        self.facts = facts
        self.single = facts.lines
        self.conductors = facts.conductor_lines
        #: Gives any line by its name, where there is one conductor.
        self.together = {**self.single, **self.conductors[0]}.get if len(self.conductors) == 1 else None

    def text(self, name: str, conductor: int | None = None) -> str:
        """Give only the printed value of a single fact, or of a conductor's; empty where there is none."""
        lines = self.single if conductor is None else self.conductors[conductor]
        return lines.get(name, "")[len(name) + 2 :]
