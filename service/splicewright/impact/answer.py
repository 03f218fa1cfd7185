"""Which joints and boxes are answered otherwise by another stack, and by which of its changes."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from splicewright.faults import Fault, Faults
from splicewright.impact.boxes import BOX_FILL, BoxDifference, FilledBox, box_difference
from splicewright.impact.changes import StackChange
from splicewright.impact.comparison import Comparison, Difference
from splicewright.impact.proposed import problems_of
from splicewright.impact.stacks import Stack
from splicewright.refusals import not_allowed
from splicewright.shelf.joints import ShelfJoint

DECIDE = ("outcome", "best", "verdict")


@dataclass(frozen=True, slots=True)
class ChangedJoint:
    """A joint that is answered otherwise."""

    joint: ShelfJoint
    differences: tuple[Difference, ...]

    @property
    def decided(self) -> bool:
        """Whether its outcome, its best connector, or the verdict on its proposal is another one."""
        return any(one.point.what in DECIDE for one in self.differences)


@dataclass(frozen=True)
class Impact:
    """What a step from one stack to another changes in joints and boxes."""

    old: Stack
    new: Stack
    asked: int
    joints: tuple[ChangedJoint, ...]
    boxes: tuple[BoxDifference, ...]
    moved: tuple[tuple[str, str], ...]
    changes: tuple[StackChange, ...]  # those that some joint or box is answered otherwise by
    without_effect: int

    @property
    def changed(self) -> bool:
        """Whether anything is answered otherwise."""
        return bool(self.joints or self.boxes)

    @cached_property
    def numbers(self) -> dict[StackChange, int]:
        """The place of each change among `changes`."""
        return {change: at for at, change in enumerate(self.changes)}

    def to_dict(self) -> dict[str, Any]:
        """Give it as JSON has it."""
        return {
            "from": self.old.to_dict(),
            "to": self.new.to_dict(),
            "asked": self.asked,
            "changed": sum(one.joint.count for one in self.joints),
            "decided": sum(one.joint.count for one in self.joints if one.decided),
            "changes": [self._change(one) for one in self.changes],
            "joints": [self._joint(one) for one in self.joints],
            "boxes": [{**one.to_dict(), "because": [{"change": self.numbers[BOX_FILL]}]} for one in self.boxes],
            "moved": [{"from": was, "to": now} for was, now in self.moved],
            "without_effect": self.without_effect,
        }

    def _change(self, change: StackChange) -> dict[str, Any]:
        told = {**change.to_dict(), "joints": 0, "points": {}}
        points: Counter[str] = Counter()
        for one in self.joints:
            met = [each.point.what for each in one.differences if any(c.change == change for c in each.because)]
            points.update(met)
            told["joints"] += one.joint.count if met else 0
        if change == BOX_FILL:
            told["boxes"] = sum(one.box.count for one in self.boxes)
        return {**told, "points": dict(sorted(points.items()))}

    def _joint(self, one: ChangedJoint) -> dict[str, Any]:
        return {
            "id": one.joint.name,
            "quantity": one.joint.count,
            "at": one.joint.at,
            "points": [self._point(each) for each in one.differences],
        }

    def _point(self, found: Difference) -> dict[str, Any]:
        told: dict[str, Any] = {"what": found.point.what}
        if found.point.of:
            told["of"] = found.point.of
        because = [
            {"change": self.numbers[one.change], "alone": one.alone, "needed": one.needed} for one in found.because
        ]
        return {**told, "was": found.was, "is": found.now, "because": because}


def _of_proposal(joint: ShelfJoint, old: Stack, new: Stack) -> list[Fault]:
    """Give why what is proposed can be judged with neither catalogue."""
    if joint.proposal is None:
        return []
    wrong = [problems_of(joint.proposal, stack.catalogue) for stack in (old, new)]
    return [Fault(joint.at, 0, one.pointer, one.says) for one in wrong[1]] if all(wrong) else []


def impact_of(
    old: Stack,
    new: Stack,
    joints: Iterable[ShelfJoint],
    boxes: Iterable[FilledBox],
    watch: Callable[[int], None] = lambda _: None,
) -> Impact:
    """Put joints and boxes to both stacks. `watch` is told of each joint that was put, by how many there are.

    Raises `UnfitRulebook` where the rules of both can't be compiled together, and `Faults` for connectors that joints
    keep to and neither catalogue has.
    """
    comparison = Comparison(old, new)
    known = {one.id for stack in (old, new) for one in stack.catalogue.connectors}
    faults: list[Fault] = []
    try:
        asked, changed = 0, []
        for joint in joints:
            asked += joint.count
            only = joint.question.only.connectors
            faults += [
                Fault(joint.at, 0, "/only/connectors", not_allowed(one, known)) for one in only if one not in known
            ]
            faults += _of_proposal(joint, old, new)
            if differences := comparison.differences(joint.question, joint.proposal):
                changed.append(ChangedJoint(joint, tuple(differences)))
            watch(joint.count)
    finally:
        comparison.close()
    if faults:
        raise Faults(faults)
    filled = [found for box in boxes if (found := box_difference(box, old.book.code, new.book.code))]
    causes = dict.fromkeys(cause.change for one in changed for each in one.differences for cause in each.because)
    met = [*causes, *([BOX_FILL] if filled else [])]
    of_stacks = (*comparison.rules.changes, *comparison.connectors)
    return Impact(
        old,
        new,
        asked,
        tuple(changed),
        tuple(filled),
        tuple((was.id, now.id) for was, now in comparison.rules.moved),
        tuple(met),
        sum(change not in causes for change in of_stacks),
    )
