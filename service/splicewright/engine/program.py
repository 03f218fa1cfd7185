"""A compiled rulebook: the definition for the library, and how the facts of a question are written for it.

Every rule is one pattern over one fact. The fact of a rule that tests only single facts carries those; that of a
rule that tests conductors and conditions too carries one choice of them, a conductor for each of its patterns on
conductors, a condition for each on conditions. Rules with as many patterns of each are put to the same facts.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from splicewright.engine.coding import Fragments, base36
from splicewright.engine.faults import MOST_FACTS, QuestionTooLarge
from splicewright.question.facts import Facts, Value
from splicewright.rulebook.model import Rule

SID = "0"  # the one session
ID_LENGTH = 4
Condition = tuple[str, str]
Coded = tuple[tuple[str, Fragments], ...]
Values = tuple[Value | None, ...]
#: One fact to put to the rules of its kind, not yet written: the number of its case, the values of its single facts,
#: then those of each conductor chosen. They are all that a rule of the kind can look at.
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


@dataclass(frozen=True, slots=True)
class Plan:
    """A rule in the definition. `concludes` is the condition to assert, by place; `made` has firings made before."""

    rule: Rule
    concludes: int | None
    made: dict[Choice, Firing] = field(default_factory=dict, compare=False, repr=False)


@dataclass(frozen=True, slots=True)
class Kind:
    """The facts that rules of one shape test. `gates` is what each begins with; `slots` are the conductors chosen."""

    gates: str
    single: Coded
    slots: tuple[Coded, ...]
    names: tuple[str, ...]  # of the single facts
    slot_names: tuple[tuple[str, ...], ...]

    @classmethod
    def of(cls, gates: str, single: Coded, slots: tuple[Coded, ...]) -> Kind:
        """Give a kind with the names of its facts."""
        return cls(gates, single, slots, _names(single), tuple(map(_names, slots)))


def _names(coded: Coded) -> tuple[str, ...]:
    return tuple(name for name, _ in coded)


@dataclass(frozen=True, slots=True)
class Case:
    """A choice of conditions to write facts of one kind for, by its number. `needs` are the places of all of them."""

    kind: int
    number: int
    needs: frozenset[int] = frozenset()
    conditions: tuple[Condition, ...] = ()
    text: str = ""


@dataclass(frozen=True, slots=True)
class Program:
    """A compiled rulebook. A condition is known by its place in `follows`."""

    definition: str
    plans: Mapping[str, Plan]  # by the rule's name in the definition
    always: tuple[Rule, ...]
    kinds: tuple[Kind, ...]
    cases: tuple[Case, ...]  # by number
    of_single: tuple[tuple[int, tuple[str, ...]], ...]  # the cases of single facts alone: number, names of the facts
    start: tuple[Case, ...]  # the other cases that need no condition
    given: tuple[int, ...]  # the conditions that hold in every question
    follows: tuple[tuple[Case, ...], ...]  # the cases that need a condition, for each


_NOTHING: Choice = ((), ())


class Sheet:
    """Makes the rows for the facts of one question."""

    def __init__(self, program: Program, facts: Facts) -> None:
        self._program = program
        self._of_single = facts.single.get
        self._of_conductors = [one.get for one in facts.conductors]
        self._heads: dict[int, tuple[Values, list[list[Values]]]] = {}
        self._holding: set[int] = set()
        self._made = 0

    def begin(self) -> list[tuple[Row, Choice]]:
        """Make the rows to begin with. Here and below, raises QuestionTooLarge."""
        of_single = self._of_single
        rows = [((number, tuple(map(of_single, names))), _NOTHING) for number, names in self._program.of_single]
        self._made = len(rows)
        for case in self._program.start:
            self._make(case, rows)
        for place in self._program.given:
            rows += self.conclude(place)
        return rows

    def conclude(self, condition: int) -> list[tuple[Row, Choice]]:
        """Make the rows that a condition makes possible; none where it was concluded before."""
        rows: list[tuple[Row, Choice]] = []
        if condition not in self._holding:
            self._holding.add(condition)
            for case in self._program.follows[condition]:
                if case.needs <= self._holding:
                    self._make(case, rows)
        return rows

    def _make(self, case: Case, rows: list[tuple[Row, Choice]]) -> None:
        single, slots = self._heads.get(case.kind) or self._head(case.kind)
        number, conditions = case.number, case.conditions
        count = len(self._of_conductors)
        self._made += math.perm(count, len(slots))
        if self._made > MOST_FACTS:
            raise QuestionTooLarge
        if not slots:
            rows.append(((number, single), ((), conditions)))
        elif len(slots) == 1:
            rows += [((number, single, one), ((at,), conditions)) for at, one in enumerate(slots[0])]
        else:
            for chosen in itertools.permutations(range(count), len(slots)):
                each = [one[at] for one, at in zip(slots, chosen, strict=True)]
                rows.append(((number, single, *each), (chosen, conditions)))

    def _head(self, at: int) -> tuple[Values, list[list[Values]]]:
        """Give the single values of all rows of a kind, and those of each conductor in each slot."""
        kind = self._program.kinds[at]
        slots = [[tuple(map(get, names)) for get in self._of_conductors] for names in kind.slot_names]
        found = self._heads[at] = (tuple(map(self._of_single, kind.names)), slots)
        return found


def written(program: Program, row: Row, fact_id: str) -> str:
    """Write a row as a JSON object. Raises TypeError or ValueError for a value that is not of its fact's kind."""
    number, *each = row
    case = program.cases[number]
    kind = program.kinds[case.kind]
    parts = [f'{{"id":"{fact_id}{kind.gates}', case.text]
    for coded, values in zip((kind.single, *kind.slots), each, strict=True):
        parts += [fragments[value] for (_, fragments), value in zip(coded, values, strict=True) if value is not None]
    return "".join([*parts, "}"])


def likeness(program: Program, row: Row) -> Row:
    """Give the same for rows of one case of which every comparison says the same. Raises as `written` does."""
    number, *each = row
    kind = program.kinds[program.cases[number].kind]
    likenesses = [
        None if value is None else fragments.likeness(value)
        for coded, values in zip((kind.single, *kind.slots), each, strict=True)
        for (_, fragments), value in zip(coded, values, strict=True)
    ]
    return (number, *likenesses)


_FIRST_IDS = [base36(number, ID_LENGTH) for number in range(600)]


def fact_id(number: int) -> str:
    """Give the id of a fact by its number."""
    return _FIRST_IDS[number] if number < len(_FIRST_IDS) else base36(number, ID_LENGTH)


def retraction(fact_id: str) -> str:
    """Write the text that retracts a fact: its id and its session are enough."""
    return f'{{"id":"{fact_id}","sid":"{SID}"}}'
