"""A job as read, and what its joints came to."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any, NamedTuple

from splicewright.answering.answer_json import JudgedConcern
from splicewright.question.read import ParsedQuestion
from splicewright.question.read_as import ReadAs
from splicewright.refusals import Problem
from splicewright.remedies.remedy_rendering import Remedy

FEWEST_TYPES = "fewest-types"
LEAST_COST = "least-cost"
MONEY_STEPS = 10_000  # of one unit of money; amounts are kept in whole steps
SPARE_STEPS = 1000  # one in tenths of a percent

Plain = dict[str, Any]


@dataclass(frozen=True, slots=True)
class Price:
    """What `of` connectors cost together, in money steps; they are sold in whole packs of so many."""

    amount: int
    of: int = 1


@dataclass(frozen=True, slots=True)
class Stock:
    """What to plan the stock by. `spare` is in tenths of a percent; `effort` is how much work the plan may take."""

    carry: tuple[str, ...]
    aim: str
    prices: Mapping[str, Price]
    spare: int
    effort: int = 1


@dataclass(frozen=True, slots=True)
class Job:
    """A job whose whole was found valid; its joints and boxes are as given, with the job's words laid under them."""

    id: str | None
    code: str
    amendments: tuple[str, ...]
    catalogue: str
    include: frozenset[str]
    only: Mapping[str, Any]  # as given
    tags: tuple[str, ...]
    defaults: Mapping[str, Any]
    joints: tuple[Any, ...]
    boxes: tuple[Any, ...]
    stock: Stock | None
    split_overfilled: bool
    assumed: Mapping[str, Any]
    told_by: Mapping[str, str] = field(default_factory=dict)  # what of `assumed` is no default: who says it
    read_as: tuple[ReadAs, ...] = ()

    @property
    def laid(self) -> dict[str, Any]:
        """What is the same for every joint."""
        laid = {"code": self.code, "amendments": list(self.amendments), "catalogue": self.catalogue}
        return {**laid, "only": self.only} if self.only else laid


@dataclass(frozen=True, slots=True)
class Tail:
    """Like pigtails or jumpers of one joint or box: `kind` is `pigtail` or `jumper`."""

    kind: str
    size: str
    material: str
    role: str
    count: int


@dataclass(frozen=True, slots=True)
class Reading:
    """What a joint says, but for its id and quantity: a question, or what is wrong with it. Pointers are its own."""

    asked: ParsedQuestion | None = None
    canonical: bytes = b""
    tails: tuple[Tail, ...] = ()
    problems: tuple[Problem, ...] = ()
    assumed: Mapping[str, Any] = field(default_factory=dict)
    read_as: tuple[ReadAs, ...] = ()
    proposed: Plain | None = None  # the check that its proposal makes of it, where it has one


class JobEntry(NamedTuple):
    """A joint of the job at its place. `name` is what the answer calls it by elsewhere; errors point into the job."""

    pointer: str
    name: str
    id: str | None
    quantity: int | None
    reading: Reading
    errors: tuple[Problem, ...] = ()
    room: Plain | None = None  # whether the room of its box was judged
    check: Plain | None = None  # what the check of its proposal found


@dataclass(frozen=True, slots=True)
class Filled:
    """A box of the job with the answer about its fill, or what is wrong with it; its joints are entries."""

    pointer: str
    name: str
    id: str | None
    quantity: int | None
    answer: Plain
    tails: tuple[Tail, ...] = ()
    assumed: Mapping[str, Any] = field(default_factory=dict)
    entries: tuple[JobEntry, ...] = ()
    errors: tuple[Problem, ...] = ()
    read_as: tuple[ReadAs, ...] = ()


@dataclass(frozen=True, slots=True)
class JobOption:
    """One option of a joint: a connector with its name, by which method, with which fill."""

    connector: str
    name: str
    method: str
    basis: str


@dataclass(frozen=True)
class Decision:
    """What one question comes to. `because` and `remedies` are told where nothing can be made; None: not looked for.

    In `because`, `at` has marked pointers (see `finding_json`), to be placed for each joint that asks the same.
    `parts` and `jumpers` are those of its split, where one was asked for and found.
    """

    answer: str
    outcome: str
    options: tuple[JobOption, ...]
    cautions: tuple[tuple[str, str, str], ...]  # rule, kind, sentence
    judged: tuple[JudgedConcern, ...] = ()
    amended: tuple[Plain, ...] = ()  # what amendments took out that would have spoken
    because: tuple[Plain, ...] = ()
    remedies: tuple[Remedy, ...] | None = None
    parts: tuple[Decision, ...] = ()
    takes: str = ""
    jumpers: tuple[Tail, ...] = ()

    @cached_property
    def ranked(self) -> tuple[str, ...]:
        """The connectors of its options, best first."""
        return tuple(option.connector for option in self.options)

    @property
    def made(self) -> tuple[Decision, ...]:
        """What is made: the joint itself, the joints that it is split into, or nothing."""
        return (self,) if self.outcome == "options" else self.parts


@dataclass(frozen=True, slots=True)
class Use:
    """A connector that joints are made with, its rank among their options (from 1), and for how many of them."""

    choice: JobOption
    rank: int
    count: int


def money(steps: int) -> int | float:
    """Give an amount as a plain number; exact to the last step as printed."""
    return steps // MONEY_STEPS if steps % MONEY_STEPS == 0 else steps / MONEY_STEPS
