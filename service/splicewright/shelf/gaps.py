"""Joints that nothing on a shelf takes: what comes nearest, and what one more type would cover."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from splicewright.choice.telling import Reason
from splicewright.shelf.evaluation import HeldJoint, Shelf

MOST_SEARCHED = 2_000  # gaps of which the nearest misses are looked for
_MISSES = 3
_CHANGES = 2  # what a type may differ in from one on the shelf, to be told as nearly that one
_TOLD = 3

Plain = dict[str, Any]
Misses = Mapping[str, tuple[Reason, ...]]


@dataclass(frozen=True, slots=True)
class Gap:
    """A joint that nothing takes, with the connectors that lack least, each with all that it lacks."""

    held: HeldJoint
    misses: tuple[tuple[str, tuple[Reason, ...]], ...]

    def to_dict(self) -> Plain:
        """Give it as JSON has it."""
        misses = [{"connector": one, "because": [_reason(each) for each in reasons]} for one, reasons in self.misses]
        return {**_joint(self.held), "nearest": misses}


@dataclass(frozen=True, slots=True)
class OneMore:
    """A type that would cover gaps: as one on the shelf but for what that lacks, or one of another catalogue."""

    connector: str
    lacks: tuple[str, ...]  # the rules' sentences; empty for a connector of another catalogue
    joints: int
    takes: tuple[str, ...]  # the conductors of the joints, each once

    def to_dict(self) -> Plain:
        """Give it as JSON has it."""
        named: Plain = {"as": self.connector, "but": list(self.lacks)} if self.lacks else {"connector": self.connector}
        return {**named, "joints": self.joints, "takes": list(self.takes)}


@dataclass(frozen=True, slots=True)
class Gaps:
    """What a shelf leaves open of some work, in numbers of joints."""

    joints: int
    covered: int
    gaps: tuple[Gap, ...]
    outside: tuple[HeldJoint, ...]  # barred or outside this tool, whatever the shelf
    one_more: tuple[OneMore, ...]
    of_others: tuple[OneMore, ...]
    unsearched: int  # different gaps of which no misses were looked for

    @property
    def open(self) -> int:
        """How many joints nothing takes."""
        return sum(gap.held.joint.count for gap in self.gaps)

    def to_dict(self) -> Plain:
        """Give it as JSON has it."""
        return {
            "joints": {
                "asked": self.joints,
                "covered": self.covered,
                "gaps": self.open,
                "outside": sum(one.joint.count for one in self.outside),
            },
            "gaps": [gap.to_dict() for gap in self.gaps],
            "one_more": [one.to_dict() for one in self.one_more],
            "of_another_catalogue": [one.to_dict() for one in self.of_others],
            "outside": [{**_joint(one), "outcome": one.match.outcome} for one in self.outside],
            "unsearched": self.unsearched,
        }


def find_gaps(shelf: Shelf, held: Sequence[HeldJoint], other: Shelf | None = None) -> Gaps:
    """Tell which of these joints nothing on the shelf takes. `other` has the types that might be bought."""
    none = [one for one in held if one.match.outcome == "no-connector"]
    searched = {id(one): shelf.because(one) for one in none[:MOST_SEARCHED]}
    gaps = tuple(Gap(one, _nearest(shelf, one, searched.get(id(one), {}))) for one in none)
    return Gaps(
        joints=sum(one.joint.count for one in held),
        covered=sum(one.joint.count for one in held if one.match.outcome == "options"),
        gaps=tuple(sorted(gaps, key=lambda gap: -gap.held.joint.count)),
        outside=tuple(one for one in held if one.match.outcome in ("barred", "refer")),
        one_more=_one_more(shelf, [(one, searched[id(one)]) for one in none[:MOST_SEARCHED]]),
        of_others=_of_others(other, none) if other else (),
        unsearched=len(none[MOST_SEARCHED:]),
    )


def _nearest(shelf: Shelf, held: HeldJoint, because: Misses) -> tuple[tuple[str, tuple[Reason, ...]], ...]:
    """Give the connectors that lack least: the fewest reasons, then nearest to the most that they take."""
    order = sorted(because.items(), key=lambda item: (len(item[1]), shelf.off(item[0], held), item[0]))
    return tuple(order[:_MISSES])


def _one_more(shelf: Shelf, gaps: Sequence[tuple[HeldJoint, Misses]]) -> tuple[OneMore, ...]:
    """Give the changes of one connector that would cover most gaps, those that cover the same ones once."""
    lacking: dict[str, list[tuple[int, frozenset[str]]]] = {}
    for at, (_, because) in enumerate(gaps):
        for connector, reasons in because.items():
            lacking.setdefault(connector, []).append((at, frozenset(reason.says for reason in reasons)))
    found = []
    for connector, each in lacking.items():
        for lacks in {lacks for _, lacks in each if len(lacks) <= _CHANGES}:
            covers = frozenset(at for at, its in each if its <= lacks)
            off = max(shelf.off(connector, gaps[at][0]) for at in covers)
            found.append((-_count(gaps, covers), len(lacks), off, connector, tuple(sorted(lacks)), covers))
    found.sort(key=lambda one: one[:5])
    told: dict[frozenset[int], OneMore] = {}
    for *_, connector, lacks_of, covers in found:
        takes = tuple(dict.fromkeys(gaps[at][0].takes for at in sorted(covers)))
        told.setdefault(covers, OneMore(connector, lacks_of, _count(gaps, covers), takes))
        if len(told) == _TOLD:
            break
    return tuple(told.values())


def _count(gaps: Sequence[tuple[HeldJoint, Misses]], some: frozenset[int]) -> int:
    return sum(gaps[at][0].joint.count for at in some)


def _of_others(other: Shelf, gaps: Sequence[HeldJoint]) -> tuple[OneMore, ...]:
    """Give the types of another catalogue that take most of the gaps."""
    covers: dict[str, list[HeldJoint]] = {}
    for one in other.hold(gap.joint for gap in gaps):
        for connector in one.options:
            covers.setdefault(connector, []).append(one)
    found = [
        OneMore(connector, (), sum(one.joint.count for one in some), tuple(dict.fromkeys(one.takes for one in some)))
        for connector, some in covers.items()
    ]
    return tuple(sorted(found, key=lambda one: (-one.joints, one.connector))[:_TOLD])


def _joint(held: HeldJoint) -> Plain:
    joint = held.joint
    return {"at": joint.at, "joint": joint.name, "quantity": joint.count, "conductors": held.takes}


def _reason(reason: Reason) -> Plain:
    return {"rule": reason.rule, "says": reason.whole}
