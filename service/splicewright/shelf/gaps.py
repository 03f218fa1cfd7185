"""Joints that nothing on a shelf takes: what comes nearest, and what one more type would cover."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from splicewright.choice.telling import Reason
from splicewright.shelf.evaluation import HeldJoint, Shelf
from splicewright.shelf.joints import ShelfJoint

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
        return {**_joint(self.held), "nearest": [_miss(one, reasons) for one, reasons in self.misses]}


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
    to_read: tuple[OneMore, ...]  # connectors of which only what the listing does not state is lacking
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
            "to_read": [
                {"connector": one.connector, "not_stated": list(one.lacks), "joints": one.joints}
                for one in self.to_read
            ],
            "one_more": [one.to_dict() for one in self.one_more],
            "of_another_catalogue": [one.to_dict() for one in self.of_others],
            "outside": [{**_joint(one), "outcome": one.outcome} for one in self.outside],
            "unsearched": self.unsearched,
        }


def find_gaps(shelf: Shelf, held: Sequence[HeldJoint], other: Shelf | None = None) -> Gaps:
    """Tell which of these joints nothing on the shelf takes. `other` has the types that might be bought."""
    none = [one for one in held if one.outcome == "no-connector"]
    searched = {id(one): shelf.because(one) for one in none[:MOST_SEARCHED]}
    gaps = tuple(Gap(one, _nearest(shelf, one, searched.get(id(one), {}))) for one in none)
    return Gaps(
        joints=sum(one.joint.count for one in held),
        covered=sum(one.joint.count for one in held if one.outcome == "options"),
        gaps=tuple(sorted(gaps, key=lambda gap: -gap.held.joint.count)),
        outside=tuple(one for one in held if one.outcome in ("barred", "refer")),
        to_read=_to_read(none, searched),
        one_more=_one_more(shelf, [(one, searched[id(one)]) for one in none[:MOST_SEARCHED]]),
        of_others=_of_others(other, none) if other else (),
        unsearched=len(none[MOST_SEARCHED:]),
    )


def _nearest(shelf: Shelf, held: HeldJoint, because: Misses) -> tuple[tuple[str, tuple[Reason, ...]], ...]:
    """Give the connectors that lack least: no more than words of their listings, then the fewest reasons.

    Then those that the joint comes nearest to the most of that they take.
    """

    def lacks(item: tuple[str, tuple[Reason, ...]]) -> tuple[bool, int, float, str]:
        connector, reasons = item
        return (not not_stated(reasons), len(reasons), shelf.off(connector, held), connector)

    return tuple(sorted(because.items(), key=lacks)[:_MISSES])


def not_stated(reasons: Sequence[Reason]) -> tuple[str, ...]:
    """Give what a listing does not state, where nothing but that refuses its connector."""
    if not all(reason.not_stated for reason in reasons):
        return ()
    return tuple(sorted({name for reason in reasons for name in reason.not_stated}))


def _to_read(gaps: Sequence[HeldJoint], searched: Mapping[int, Misses]) -> tuple[OneMore, ...]:
    """Give the connectors that may do, once their cartons are read for what their listings do not state."""
    found: dict[str, tuple[set[str], list[HeldJoint]]] = {}
    for one in gaps:
        for connector, reasons in searched.get(id(one), {}).items():
            if names := not_stated(reasons):
                lacks, joints = found.setdefault(connector, (set(), []))
                lacks.update(names)
                joints.append(one)
    told = [
        OneMore(connector, tuple(sorted(lacks)), sum(one.joint.count for one in joints), _takes(joints))
        for connector, (lacks, joints) in found.items()
    ]
    return tuple(sorted(told, key=lambda one: (-one.joints, len(one.lacks), one.connector))[:_TOLD])


def _takes(joints: Iterable[HeldJoint]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(one.takes for one in joints))


def _one_more(shelf: Shelf, gaps: Sequence[tuple[HeldJoint, Misses]]) -> tuple[OneMore, ...]:
    """Give the changes of one connector that would cover most gaps, those that cover the same ones once."""
    lacking: dict[str, list[tuple[int, frozenset[str]]]] = {}
    for at, (_, because) in enumerate(gaps):
        for connector, reasons in because.items():
            if not_stated(reasons):
                continue
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
        takes = _takes(gaps[at][0] for at in sorted(covers))
        told.setdefault(covers, OneMore(connector, lacks_of, _count(gaps, covers), takes))
        if len(told) == _TOLD:
            break
    return tuple(told.values())


def _count(gaps: Sequence[tuple[HeldJoint, Misses]], some: frozenset[int]) -> int:
    return sum(gaps[at][0].joint.count for at in some)


def _of_others(other: Shelf, gaps: Sequence[HeldJoint]) -> tuple[OneMore, ...]:
    """Give the types of another catalogue that take most of the gaps."""
    covers: dict[str, list[HeldJoint]] = {}
    for one in other.hold(_of_any_connector(gap.joint) for gap in gaps):
        for connector in one.options:
            covers.setdefault(connector, []).append(one)
    found = [
        OneMore(connector, (), sum(one.joint.count for one in some), _takes(some)) for connector, some in covers.items()
    ]
    return tuple(sorted(found, key=lambda one: (-one.joints, one.connector))[:_TOLD])


def _of_any_connector(joint: ShelfJoint) -> ShelfJoint:
    """Give a joint that keeps to no connectors: those that it names are of the shelf, and nothing there takes it."""
    return replace(joint, question=replace(joint.question, only=joint.question.only.methods_alone))


def _joint(held: HeldJoint) -> Plain:
    joint = held.joint
    return {"at": joint.at, "joint": joint.name, "quantity": joint.count, "conductors": held.takes}


def _miss(connector: str, reasons: Sequence[Reason]) -> Plain:
    names = not_stated(reasons)
    told: Plain = {"connector": connector, "because": [_reason(each) for each in reasons]}
    return {**told, "not_stated": list(names)} if names else told


def _reason(reason: Reason) -> Plain:
    return {"rule": reason.rule, "says": reason.whole}
