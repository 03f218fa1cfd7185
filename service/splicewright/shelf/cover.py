"""The few types that cover most joints: exact, by the solver that stock plans are made with, within its work."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from splicewright.faults import Fault, Faults
from splicewright.job.model import FEWEST_TYPES, Stock
from splicewright.job.planning import WORK, most_covered
from splicewright.job.solver import Aim, Work
from splicewright.job.stock import Plan, Wanted, wanted
from splicewright.refusals import not_allowed
from splicewright.shelf.evaluation import HeldJoint, Shelf

Plain = dict[str, Any]


@dataclass(frozen=True, slots=True)
class Cover:
    """Types that are added to those on the shelf already, and what they leave open. Numbers are of joints."""

    joints: int
    coverable: int  # by some type of the catalogue
    covered: int
    added: tuple[tuple[str, int], ...]  # each with the joints that it is the best for
    carried: tuple[tuple[str, int], ...]
    uncovered: tuple[HeldJoint, ...]
    proven: bool
    at_most: int  # what no such choice can pass

    def to_dict(self) -> Plain:
        """Give it as JSON has it."""
        return {
            "joints": {"asked": self.joints, "coverable": self.coverable, "covered": self.covered},
            "types": [{"connector": one, "joints": count} for one, count in self.added],
            "carried": [{"connector": one, "joints": count} for one, count in self.carried],
            "uncovered": [_uncovered(one) for one in self.uncovered],
            "proven_optimal": self.proven,
            "at_most": self.at_most,
        }


def find_cover(shelf: Shelf, held: Sequence[HeldJoint], most: int, carry: Sequence[str] = ()) -> Cover:
    """Choose at most so many types beside those that are carried. Ties go to the best ranks, then to ids.

    Raises `Faults` where `carry` names what is not on the shelf.
    """
    ids = [connector.id for connector in shelf.catalogue.connectors]
    unknown = [Fault("", 0, "--carry", not_allowed(one, ids)) for one in carry if one not in ids]
    if unknown:
        raise Faults(unknown)
    stock = Stock(tuple(dict.fromkeys(carry)), FEWEST_TYPES, {}, 0)
    asked = wanted(((one.options, one.joint.count) for one in held if one.options), stock)
    plan = _plan(asked, most)
    counts = asked.counts(plan.shares)
    chosen = {asked.types[one]: (one in asked.carried, counts.get(one, 0)) for one in plan.types}
    return Cover(
        joints=sum(one.joint.count for one in held),
        coverable=asked.joints,
        covered=asked.covers(plan.types),
        added=tuple(_ordered((one, n) for one, (carried, n) in chosen.items() if not carried and n)),
        carried=tuple(_ordered((one, n) for one, (carried, n) in chosen.items() if carried)),
        uncovered=tuple(sorted(_left(held, frozenset(chosen)), key=lambda one: -one.joint.count)),
        proven=plan.aim.proven,
        at_most=min(asked.joints, int(plan.aim.bound + 1e-6)),
    )


def _plan(asked: Wanted, most: int) -> Plan:
    """Give the plan; where nothing is to be chosen, or the work does not do, the carried types with what is known."""
    carried = tuple(sorted(asked.carried))
    if not asked.kinds:
        return Plan(carried, (), Aim(0, 0))
    if not most:
        covers = asked.covers(carried)
        return Plan(carried, tuple(asked.best_ranked(carried)), Aim(covers, covers))
    found = most_covered(asked, FEWEST_TYPES, most, Work(WORK))
    return _greedy(asked, most) if found is None else found


def _greedy(asked: Wanted, most: int) -> Plan:
    """Take the type that covers most of what is left, again and again: not proven to be the best."""
    types = set(asked.carried)
    for _ in range(most):
        gain = {one: asked.covers({*types, one}) for one in range(len(asked.types)) if one not in types}
        best = max(sorted(gain), key=lambda one: gain[one], default=None)
        if best is None or gain[best] == asked.covers(types):
            break
        types.add(best)
    return Plan(
        tuple(sorted(types)), tuple(asked.best_ranked(types)), Aim(asked.covers(types), asked.joints), settled=False
    )


def _ordered(types: Iterable[tuple[str, int]]) -> list[tuple[str, int]]:
    return sorted(types, key=lambda one: (-one[1], one[0]))


def _left(held: Iterable[HeldJoint], types: frozenset[str]) -> Iterator[HeldJoint]:
    return (one for one in held if types.isdisjoint(one.options))


def _uncovered(held: HeldJoint) -> Plain:
    joint, options = held.joint, held.options
    told: Plain = {"at": joint.at, "joint": joint.name, "quantity": joint.count, "conductors": held.takes}
    return {**told, "best": options[0]} if options else {**told, "outcome": held.outcome}
