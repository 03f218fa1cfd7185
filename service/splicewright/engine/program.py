"""A compiled rulebook: the definition for the library, and how the facts of a question are written for it."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from splicewright.engine.coding import Fragments, base36

if TYPE_CHECKING:
    from collections.abc import Mapping

    from splicewright.question.facts import Facts, Value
    from splicewright.rulebook.model import Rule

SID = "0"  # the one session
ID_LENGTH = 3
ID_MARK = '{"id":"'
MOST_CONDUCTORS = 1000  # distinct ones in one question
Condition = tuple[str, str]


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
    """What to make of the firings of one rule, and those made before, by the ids of the facts matched."""

    rule: Rule
    flat: bool  # whether the first fact echoed is the flat one
    conditions: int  # how many conditions are echoed next; conductors are last
    concludes: int | None  # the condition to assert, of `Program.conditions`
    made: dict[tuple[str, ...], Firing] = field(default_factory=dict, compare=False, repr=False)


@dataclass(frozen=True, slots=True)
class Asserted:
    """A condition that rules may conclude, as the text of a fact, and the text that retracts it."""

    condition: Condition
    text: str
    retraction: str


@dataclass(frozen=True, slots=True)
class Written:
    """How one kind of fact is written: what every fact of it begins with, and the facts that rules test."""

    gates: str
    fragments: tuple[tuple[str, Fragments], ...]

    def text(self, fact_id: str, facts: Mapping[str, Value]) -> str:
        """Write a fact, absent values left out. Raises TypeError or ValueError for another kind of value."""
        parts = [ID_MARK, fact_id, self.gates]
        for name, fragments in self.fragments:
            value = facts.get(name)
            if value is not None:
                parts.append(fragments[value])
        parts.append("}")
        return "".join(parts)


@dataclass(frozen=True, slots=True)
class Program:
    """A compiled rulebook."""

    definition: str
    plans: Mapping[str, Plan]  # by the rule's name in the definition
    always: tuple[Rule, ...]
    conditions: tuple[Asserted, ...]
    given: tuple[int, ...]  # the conditions that hold in every question
    flat: Written
    conductor: Written

    def texts(self, facts: Facts) -> list[str]:
        """Write the facts of a question: the flat one, then the conductors. Raises as `Written.text` does."""
        if len(facts.conductors) > MOST_CONDUCTORS:
            raise ValueError(
                f"{len(facts.conductors)} distinct conductors; at most {MOST_CONDUCTORS} can be decided"
            )
        conductors = zip(CONDUCTOR_IDS, facts.conductors, strict=False)
        return [self.flat.text(FLAT_ID, facts.single), *[self.conductor.text(*pair) for pair in conductors]]


FLAT_ID = "m" + base36(0, ID_LENGTH - 1)
CONDUCTOR_IDS = tuple("c" + base36(at, ID_LENGTH - 1) for at in range(MOST_CONDUCTORS))
CONDUCTORS = {fact_id: at for at, fact_id in enumerate(CONDUCTOR_IDS)}


def retraction(fact_id: str) -> str:
    """Write the text that retracts a fact: its id and its session are enough."""
    return f'{ID_MARK}{fact_id}","sid":"{SID}"}}'


def condition_id(at: int) -> str:
    """Give the id of a condition's fact by its place in `Program.conditions`."""
    return "k" + base36(at, ID_LENGTH - 1)
