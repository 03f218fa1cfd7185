"""Which connectors of a shelf may make a joint, and why the others may not."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

from splicewright.answering import Chooser
from splicewright.catalogue import Catalogue, Connector
from splicewright.catalogue.model import Shape
from splicewright.catalogue.takes import in_um2
from splicewright.choice.matching import Match
from splicewright.choice.telling import Reason
from splicewright.faults import Fault, Faults
from splicewright.refusals import Refused
from splicewright.shelf.joints import ShelfJoint


@dataclass(frozen=True, slots=True)
class HeldJoint:
    """A joint held against a shelf: its outcome, and the connectors that may make it, best first.

    `match` is kept where no connector takes it: why not can then be asked.
    """

    joint: ShelfJoint
    outcome: str
    options: tuple[str, ...]
    shape: Shape
    match: Match | None

    @property
    def takes(self) -> str:
        """Its conductors in words."""
        return self.shape.text


class Shelf:
    """One catalogue with the rules that joints are held to."""

    def __init__(self, catalogue: Catalogue, chooser: Chooser) -> None:
        """Hold joints against `catalogue`, by the rules of a chooser."""
        self.catalogue = catalogue
        self._holding = chooser.holding.with_catalogue(catalogue)
        self._most = {connector.id: _most(connector) for connector in catalogue.connectors}

    def hold(self, joints: Iterable[ShelfJoint]) -> list[HeldJoint]:
        """Hold joints against it, whatever catalogue they name. Raises `Faults` where one names what is not on it."""
        found, faults = [], []
        for joint in joints:
            try:
                match = self._holding.match(replace(joint.question, catalogue=self.catalogue.name))
            except Refused as error:
                faults += [Fault(joint.at, 0, one.pointer, one.says) for one in error.problems]
                continue
            found.append(_held(joint, match))
        if faults:
            raise Faults(faults)
        return found

    def because(self, held: HeldJoint) -> Mapping[str, tuple[Reason, ...]]:
        """Give all reasons why each connector may not make a joint, by its id; none where the joint itself may not."""
        if held.match is None:
            return {}
        words = self._holding.rules_of(held.joint.question).fill_words
        return {one.connector.id: one.because for one in held.match.refusals(words)}

    def off(self, connector: str, held: HeldJoint) -> float:
        """Give how far a joint is from the most that a connector takes: 1 just that, 2 twice or half of it.

        In conductors or in metal, whichever is farther.
        """
        conductors, metal = self._most[connector]
        return max(_times(held.shape.count, conductors), _times(sum(held.shape.areas), metal))


def _held(joint: ShelfJoint, match: Match) -> HeldJoint:
    options = tuple(option.connector.id for option in match.options)
    return HeldJoint(joint, match.outcome, options, match.shape, match if match.outcome == "no-connector" else None)


def _times(one: int, other: int) -> float:
    return max(one / other, other / one)


def _most(connector: Connector) -> tuple[int, int]:
    """Give the most conductors that it takes, and the most metal in µm²."""
    conductors, metal = 1, 1
    for take in connector.takes:
        for one in take.combinations:
            conductors, metal = max(conductors, len(one.areas)), max(metal, sum(one.areas))
        if take.ports:
            room = [(port.count * port.conductors, max(each.most.area for each in port.ranges)) for port in take.ports]
            conductors = max(conductors, sum(count for count, _ in room))
            metal = max(metal, sum(count * area for count, area in room))
        for total in take.metal:
            conductors, metal = max(conductors, total.utmost), max(metal, in_um2(total.most))
    return conductors, metal
