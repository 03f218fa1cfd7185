"""A compiled rulebook: the definition for the library, and how the facts of a question are written for it.

Every rule is one pattern over one fact. The fact of a rule that tests only single facts carries those; that of a
rule that tests conductors and conditions too carries one choice of them, a conductor for each of its patterns on
conductors, a condition for each on conditions. Rules with as many patterns of each are put to the same facts.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

from splicewright.engine.coding import Fragments, base36
from splicewright.engine.faults import MOST_FACTS, QuestionTooLarge
from splicewright.question.facts import Facts, Value
from splicewright.rulebook.model import Rule

SID = "0"  # the one session
ID_LENGTH = 4
Condition = tuple[str, str]
Coded = tuple[tuple[str, Fragments], ...]
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


@dataclass(frozen=True, slots=True)
class Case:
    """A choice of conditions to write facts of one kind for. `needs` are the places of all of them."""

    kind: int
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
    start: tuple[Case, ...]  # the cases that need no condition
    given: tuple[int, ...]  # the conditions that hold in every question
    follows: tuple[tuple[Case, ...], ...]  # the cases that need a condition, for each


class Sheet:
    """Writes the facts of one question, and knows by its id what each one stands for."""

    def __init__(self, program: Program, facts: Facts) -> None:
        self._program = program
        self._facts = facts
        self._heads: dict[int, tuple[str, list[list[str]]]] = {}
        self._holding: set[int] = set()
        self.choices: dict[str, Choice] = {}  # by id, in the order of writing

    def begin(self) -> list[str]:
        """Write the facts to begin with, as JSON objects.

        Here and below, raises TypeError or ValueError for a value that is not of its fact's kind, and
        QuestionTooLarge.
        """
        texts = [text for case in self._program.start for text in self._write(case)]
        return texts + [text for place in self._program.given for text in self.conclude(place)]

    def conclude(self, condition: int) -> list[str]:
        """Write the facts that a condition makes possible; none where it was concluded before."""
        if condition in self._holding:
            return []
        self._holding.add(condition)
        cases = (case for case in self._program.follows[condition] if case.needs <= self._holding)
        return [text for case in cases for text in self._write(case)]

    def _write(self, case: Case) -> Iterator[str]:
        head, slots = self._head(case.kind)
        for conductors in itertools.permutations(range(len(self._facts.conductors)), len(slots)):
            if len(self.choices) == MOST_FACTS:
                raise QuestionTooLarge
            fact_id = _fact_id(len(self.choices))
            self.choices[fact_id] = (conductors, case.conditions)
            chosen = "".join([parts[at] for parts, at in zip(slots, conductors, strict=True)])
            yield f'{{"id":"{fact_id}{head}{case.text}{chosen}}}'

    def _head(self, at: int) -> tuple[str, list[list[str]]]:
        """Give what all facts of a kind begin with, and what each conductor adds in each slot."""
        found = self._heads.get(at)
        if found is None:
            kind = self._program.kinds[at]
            slots = [[_coded(coded, one) for one in self._facts.conductors] for coded in kind.slots]
            found = self._heads[at] = (kind.gates + _coded(kind.single, self._facts.single), slots)
        return found


def _coded(coded: Coded, facts: Mapping[str, Value]) -> str:
    parts = []
    for name, fragments in coded:
        value = facts.get(name)
        if value is not None:
            parts.append(fragments[value])
    return "".join(parts)


_FIRST_IDS = [base36(number, ID_LENGTH) for number in range(600)]


def _fact_id(number: int) -> str:
    return _FIRST_IDS[number] if number < len(_FIRST_IDS) else base36(number, ID_LENGTH)


def retraction(fact_id: str) -> str:
    """Write the text that retracts a fact: its id and its session are enough."""
    return f'{{"id":"{fact_id}","sid":"{SID}"}}'
