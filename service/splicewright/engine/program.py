"""A compiled rulebook: the definition for the library, and how the facts of a question are written for it.

Every rule is one pattern over one fact. The fact of a rule that tests only single facts carries those; that of a
rule that tests conductors and conditions too carries one choice of them, a conductor for each of its patterns on
conductors, a condition for each on conditions. Rules with as many patterns of each are put to the same facts.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from splicewright.engine.coding import base36
from splicewright.engine.faults import MOST_FACTS, QuestionTooLarge
from splicewright.engine.looks import Pick, Side, Sights
from splicewright.question.facts import Facts
from splicewright.rulebook.model import Rule

SID = "0"  # the one session
ID_LENGTH = 4
Condition = tuple[str, str]
#: One fact to put to the rules of its kind: the number of its case, and what they see of the single facts and of each
#: conductor chosen (see `looks.py`). It says no more than whether two are the same; `Sheet` has what is in it.
Row = tuple[Any, ...]
Choice = tuple[tuple[int, ...], tuple[Condition, ...]]  # conductors by index, conditions


@dataclass(frozen=True, slots=True)
class Firing:
    """One firing of a rule.

    `conductors` has an index into `Facts.conductors` for each conductor pattern, `conditions` the key and
    word matched by each condition pattern, both in the rule's order.
    """

    rule: Rule
    conductors: tuple[int, ...] = ()
    conditions: tuple[Condition, ...] = ()


@dataclass(frozen=True, slots=True, eq=False)
class Plan:
    """A rule in the definition. `concludes` is the condition to assert, by place."""

    rule: Rule
    concludes: int | None


class Fired:
    """The rules that a row fires, and what they conclude: by place, and as conditions with the rules' ids."""

    __slots__ = ("concludes", "concluding", "rules")

    def __init__(self, plans: Sequence[Plan]) -> None:
        self.rules = tuple([plan.rule for plan in plans])
        self.concludes = tuple([plan.concludes for plan in plans if plan.concludes is not None])
        self.concluding = concluding(self.rules)

    def firings(self, choice: Choice) -> list[Firing]:
        """Make the firings for a choice of conductors."""
        return [Firing(rule, *choice) for rule in self.rules]


FiredRow = tuple[Row, Choice, Fired]  # a row, its choice of conductors and conditions, and what it fires


def concluding(rules: Iterable[Rule]) -> tuple[tuple[Condition, str], ...]:
    """Give the conditions that some rules conclude, each with the id of the rule."""
    return tuple([(one.effect.concludes, one.id) for one in rules if one.effect.concludes is not None])


@dataclass(frozen=True, slots=True)
class Kind:
    """The facts that rules of one shape test. `gates` is what each begins with; `slots` are the conductors chosen."""

    gates: str
    single: Side
    slots: tuple[Side, ...]


@dataclass(frozen=True, slots=True)
class Case:
    """A choice of conditions to write facts of one kind for, by its number. `needs` are the places of all of them."""

    kind: int
    number: int
    needs: frozenset[int] = frozenset()
    conditions: tuple[Condition, ...] = ()
    text: str = ""
    choice: Choice = field(init=False, repr=False)  # where no conductors are chosen

    def __post_init__(self) -> None:
        """Make the choice once."""
        object.__setattr__(self, "choice", ((), self.conditions))


@dataclass(frozen=True, slots=True)
class Program:
    """A compiled rulebook. A condition is known by its place in `follows`."""

    definition: str
    plans: Mapping[str, Plan]  # by the rule's name in the definition
    always: tuple[Rule, ...]
    kinds: tuple[Kind, ...]
    cases: tuple[Case, ...]  # by number
    of_single: tuple[tuple[int, Pick], ...]  # the cases of single facts alone: number, and what takes what they see
    start: tuple[Case, ...]  # the other cases that need no condition
    given: tuple[int, ...]  # the conditions that hold in every question
    follows: tuple[tuple[Case, ...], ...]  # the cases that need a condition, for each
    single: Sights  # of the kinds' single facts
    conductor: Sights  # of their slots
    picks: tuple[tuple[Pick, tuple[Pick, ...]], ...]  # of each kind: from these


_NOTHING: Choice = ((), ())


class Sheet:
    """Makes the rows for the facts of one question."""

    def __init__(self, program: Program, facts: Facts) -> None:
        self._program = program
        self._facts = facts
        self._seen = program.single.of(facts.shares)
        self._seen_of_conductors = [program.conductor.of(shares) for shares in facts.conductor_shares]
        self._holding: set[int] = set()
        self._made = 0

    def begin(self) -> tuple[list[Row], list[Choice]]:
        """Make the rows to begin with, and the choice of each. Here and below, raises QuestionTooLarge."""
        seen, of_single = self._seen, self._program.of_single
        rows: list[Row] = [(case, pick(seen)) for case, pick in of_single]
        choices = [_NOTHING] * len(rows)
        self._made = len(rows)
        for case in self._program.start:
            self._make(case, rows, choices)
        self.conclude(self._program.given, rows, choices)
        return rows, choices

    def conclude(self, conditions: Iterable[int], rows: list[Row], choices: list[Choice]) -> None:
        """Add the rows that conditions make possible; none for those that were concluded before."""
        holding = self._holding
        for condition in conditions:
            if condition not in holding:
                holding.add(condition)
                for case in self._program.follows[condition]:
                    if case.needs <= holding:
                        self._make(case, rows, choices)

    def _make(self, case: Case, rows: list[Row], choices: list[Choice]) -> None:
        of_single, of_slots = self._program.picks[case.kind]
        if not of_slots:
            rows.append((case.number, of_single(self._seen)))
            choices.append(case.choice)
            return
        of_conductors = self._seen_of_conductors
        count = len(of_conductors)
        if count < len(of_slots):
            return
        self._made += math.perm(count, len(of_slots))
        if self._made > MOST_FACTS:
            raise QuestionTooLarge
        number, single = case.number, of_single(self._seen)
        if len(of_slots) == 1:
            (pick,) = of_slots
            rows += [(number, single, pick(seen)) for seen in of_conductors]
            choices += [((at,), case.conditions) for at in range(count)]
            return
        slots = [[pick(seen) for seen in of_conductors] for pick in of_slots]
        for chosen in itertools.permutations(range(count), len(slots)):
            rows.append((number, single, *[of_slot[at] for of_slot, at in zip(slots, chosen, strict=True)]))
            choices.append((chosen, case.conditions))

    def likeness(self, row: Row, choice: Choice) -> Row:
        """Give the same for rows of one case of which every comparison says the same.

        Here and in `written`, raises TypeError or ValueError for a value that is not of its fact's kind.
        """
        kind = self._program.kinds[self._program.cases[row[0]].kind]
        of_conductors = zip(kind.slots, choice[0], row[2:], strict=True)
        each = [slot.likeness(self._facts.conductor_shares[at], seen) for slot, at, seen in of_conductors]
        return (row[0], kind.single.likeness(self._facts.shares, row[1]), *each)

    def written(self, row: Row, choice: Choice, fact_id: str) -> str:
        """Write a row as a JSON object."""
        case = self._program.cases[row[0]]
        kind = self._program.kinds[case.kind]
        of_conductors = zip(kind.slots, choice[0], strict=True)
        each = [slot.written(self._facts.conductor_shares[at]) for slot, at in of_conductors]
        whole = "".join([kind.single.written(self._facts.shares), *each])
        return f'{{"id":"{fact_id}{kind.gates}{case.text}{whole}}}'


_FIRST_IDS = [base36(number, ID_LENGTH) for number in range(600)]


def fact_id(number: int) -> str:
    """Give the id of a fact by its number."""
    return _FIRST_IDS[number] if number < len(_FIRST_IDS) else base36(number, ID_LENGTH)


def retraction(fact_id: str) -> str:
    """Write the text that retracts a fact: its id and its session are enough."""
    return f'{{"id":"{fact_id}","sid":"{SID}"}}'
