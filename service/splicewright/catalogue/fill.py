"""How a joint stands in a listing: as listed, between two listed ones, or refused, and by how much; and in ports.

This is the part that charts get wrong. Too few conductors are refused like too many. Which basis is good enough is for
the rules to say. Where a joint stands among combinations, `combination_fill.py` tells.

In ports every conductor is in one that takes its kind and size, one to a port unless listed for more. Empty ports are
allowed. A range is listed for sizes of the system it is printed in; a size of the other system that lies inside it by
area is bracketed by the two ends of the range.
"""

from __future__ import annotations

import functools
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any, Literal

from splicewright.catalogue.model import LikeConductors, Shape, kind_bit, kinds_in
from splicewright.catalogue.takes import Range, Take
from splicewright.units import counted

Basis = Literal["listed", "bracketed"]
Verdict = Literal[
    "too-many",
    "too-large",
    "too-few",
    "too-small",
    "size-not-taken",
    "construction-not-taken",
    "ports-too-few",
]

#: Refusals, the nearest to fitting first. Those of an over-filled connector stand after those of a mix that
#: is within what it holds: so more or larger conductors never bring a joint from an over-filled verdict back
#: to a milder one.
NEAREST_FIRST: tuple[Verdict, ...] = (
    "size-not-taken",
    "too-small",
    "too-few",
    "too-large",
    "ports-too-few",
    "too-many",
    "construction-not-taken",
)
_MIDWAY = 100
OVER_FILLED: frozenset[Verdict] = frozenset({"too-many", "too-large", "ports-too-few"})


@dataclass(frozen=True, slots=True)
class Fill:
    """How one joint stands in one connector's listing. Either `basis` (it fits) or `verdict` (it does not) is given.

    `by` says by how much it does not. `listing` is the listed combination that it equals, or the ports it
    goes into; `between` are the listed ones below and above a bracketed one. `comfort` is 0 at either edge of
    what is listed and 100 midway, by metal area: of the whole joint between the least and the most listed;
    for ports of each conductor in its port's range, the worst of them counting. `spare_ports` counts the
    ports left empty.
    """

    basis: Basis | None = None
    verdict: Verdict | None = None
    by: str | None = None
    listing: str | None = None
    between: tuple[str, str] | None = None
    comfort: int = 0
    spare_ports: int | None = None

    @property
    def fits(self) -> bool:
        """Whether the connector takes the joint, as listed or bracketed."""
        return self.basis is not None

    @property
    def attributes(self) -> dict[str, Any]:
        """What rules may test of a connector only together with a joint; nothing where it does not take it.

        A port takes any size of its range alike, so joints in ports count as midway.
        """
        if self.basis is None:
            return {}
        in_ports = self.spare_ports is not None
        comfort = _MIDWAY if in_ports else self.comfort
        return {"fill": self.basis, "spare_ports": self.spare_ports or 0, "in_ports": in_ports, "comfort": comfort}

    def to_dict(self, *, whole: bool = True) -> dict[str, Any]:
        """Give it as an answer prints it, `whole` or in short; what does not apply is left out."""
        if self.verdict:
            return {"verdict": self.verdict, "by": self.by}
        written: dict[str, Any] = {"basis": self.basis}
        if whole and self.listing is not None:
            written["listing"] = self.listing
        if whole and self.between is not None:
            written["between"] = list(self.between)
        if whole:
            written["comfort"] = self.comfort
        if self.spare_ports is not None:
            written["spare_ports"] = self.spare_ports
        return written


@functools.lru_cache(maxsize=4096)
def refused(verdict: Verdict, by: str) -> Fill:
    """Give a refusal. The same few are wanted again and again."""
    return Fill(verdict=verdict, by=by)


def best(outcomes: list[Fill]) -> Fill:
    """Give the best outcome: listed, then bracketed, then the nearest refusal; the more comfortable one of two."""
    return outcomes[0] if len(outcomes) == 1 else min(outcomes, key=_rank)


def _rank(fill: Fill) -> tuple[int, int, int]:
    if fill.verdict:
        return (2, NEAREST_FIRST.index(fill.verdict), 0)
    return (0 if fill.basis == "listed" else 1, -fill.comfort, 0)


def comfort(value: int, least: int, most: int) -> int:
    """Give how far `value` lies from the nearer edge, 0 (at an edge) to 100 (midway)."""
    return 200 * min(value - least, most - value) // (most - least) if most > least else 0


def most_placed(choices: Sequence[Sequence[int]], room: Sequence[int]) -> int:
    """Count how many items can be placed at once, each in one of its own places, none over its room.

    `choices` has the numbers of an item's places, for each item; `room` how many items each place holds. This
    is maximum bipartite matching by augmenting paths: an item that finds its places full asks the items in
    them to move.
    """
    held: list[list[int]] = [[] for _ in room]

    def placed(item: int, asked: set[int]) -> bool:
        for place in choices[item]:
            if place in asked:
                continue
            asked.add(place)
            if len(held[place]) < room[place]:
                held[place].append(item)
                return True
            for at, other in enumerate(held[place]):
                if placed(other, asked):
                    held[place][at] = item
                    return True
        return False

    return sum(placed(item, set()) for item in range(len(choices)))


# --- ports -------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class _Way:
    """One kind of port open to one kind of conductor."""

    port: int
    least: int
    most: int
    system: str
    range: Range

    @property
    def ends(self) -> tuple[str, str]:
        """The sizes at both ends of the range."""
        return (self.range.least.text, self.range.most.text)

    def takes(self, part: LikeConductors) -> bool:
        """Whether a conductor's size lies in the range, by area."""
        return self.least <= part.area <= self.most

    def has_room_for(self, part: LikeConductors) -> bool:
        """Whether it is not too large."""
        return part.area <= self.most

    def is_listed_for(self, part: LikeConductors) -> bool:
        """Whether its size lies in the range and is of the system that the range is printed in."""
        return self.least <= part.area <= self.most and self.system == part.size.system

    def comfort(self, part: LikeConductors) -> int:
        """How far its size lies from the ends of the range; -1 where it is outside."""
        return comfort(part.area, self.least, self.most) if self.takes(part) else -1


class PortFill:
    """Judges joints by one group of ports."""

    def __init__(self, take: Take) -> None:
        """Index the ports by the kinds of conductor they take."""
        self._text = str(take)
        self._least = take.least
        self._counts = [port.count for port in take.ports]
        self._room = [port.count * port.conductors for port in take.ports]
        self._ports, self._capacity = sum(self._counts), sum(self._room)
        self._one_kind = len(take.ports) == 1
        self._places = counted(self._ports, "port")
        if self._capacity > self._ports:
            self._places += f" for {self._capacity}"
        self._ways: dict[int, tuple[_Way, ...]] = {}
        for at, port in enumerate(take.ports):
            for one in port.ranges:
                way = _Way(at, one.least.area, one.most.area, one.least.system, one)
                for kind in kinds_in(one.kinds):
                    bit = kind_bit(*kind)
                    self._ways[bit] = (*self._ways.get(bit, ()), way)
        self._mask = sum(self._ways)
        self._largest = {bit: max(ways, key=lambda way: way.most) for bit, ways in self._ways.items()}
        self._smallest = {bit: min(ways, key=lambda way: way.least) for bit, ways in self._ways.items()}

    def __call__(self, shape: Shape) -> Fill | None:
        """Judge a joint. None where no port takes conductors of one of its kinds."""
        if shape.mask & ~self._mask:
            return None
        if shape.count > self._capacity:
            return refused("ports-too-few", f"{shape.counted}; {self._places}")
        if shape.count >= self._least:
            fits = self._one_kind_fits(shape) if self._one_kind else self._several_fit(shape)
            if fits:
                return fits
        return self._over_filled(shape) or self._under_filled(shape)

    def _over_filled(self, shape: Shape) -> Fill | None:
        """Refuse what no lower limits would help: conductors too large for their ports, or too many of a size."""
        for part in shape.parts:
            largest = self._largest[part.bit]
            if part.area > largest.most:
                return refused("too-large", f"{part.text}; {largest.range.most} is the largest listed")
        if self._all_placed(shape, _Way.has_room_for):
            return None
        return refused("ports-too-few", f"{shape.text}; {self._text}")

    def _under_filled(self, shape: Shape) -> Fill:
        if shape.count < self._least:
            return refused("too-few", f"{shape.counted}; at least {self._least} are listed")
        for part in shape.parts:
            smallest = self._smallest[part.bit]
            if part.area < smallest.least:
                return refused("too-small", f"{part.text}; {smallest.range.least} is the smallest listed")
        return refused("size-not-taken", f"{shape.text}; {self._text}")

    def _all_placed(self, shape: Shape, allows: Callable[[_Way, LikeConductors], bool]) -> bool:
        ways = self._ways
        if self._one_kind:
            return all(allows(ways[part.bit][0], part) for part in shape.parts)
        return most_placed(self._choices(shape, allows), self._room) == shape.count

    def _choices(self, shape: Shape, allows: Callable[[_Way, LikeConductors], bool]) -> list[list[int]]:
        found: list[list[int]] = []
        for part in shape.parts:
            found += [[way.port for way in self._ways[part.bit] if allows(way, part)]] * part.count
        return found

    def _one_kind_fits(self, shape: Shape) -> Fill | None:
        ease, foreign = 100, None
        for part in shape.parts:
            way = self._ways[part.bit][0]
            if not way.least <= part.area <= way.most:
                return None
            ease = min(ease, comfort(part.area, way.least, way.most))
            if way.system != part.size.system:
                foreign = foreign or way.ends
        return _fitting(self._text, foreign, ease, max(0, self._ports - shape.count))

    def _several_fit(self, shape: Shape) -> Fill | None:
        if not self._all_placed(shape, _Way.takes):
            return None
        ease = min([max([way.comfort(part) for way in self._ways[part.bit]]) for part in shape.parts])
        spare = self._ports - shape.count
        if self._capacity > self._ports:  # conductors spread over the ports as far as they go
            spare = self._ports - most_placed(self._choices(shape, _Way.takes), self._counts)
        foreign = None if self._all_placed(shape, _Way.is_listed_for) else self._foreign(shape)
        return _fitting(self._text, foreign, ease, spare)

    def _foreign(self, shape: Shape) -> tuple[str, str]:
        """Give the ends of a range that takes a conductor of the other system of sizes.

        The largest such conductor is told of first, one that no port of its own system takes before one that
        some does.
        """
        found = []
        for part in shape.parts:
            ways = [way for way in self._ways[part.bit] if way.takes(part)]
            others = [way for way in ways if way.system != part.size.system]
            if others:
                found.append((len(others) < len(ways), others[0].ends))
        return min(found, key=lambda one: one[0])[1]


@functools.lru_cache(maxsize=4096)
def _fitting(text: str, between: tuple[str, str] | None, ease: int, spare: int) -> Fill:
    basis: Basis = "bracketed" if between else "listed"
    return Fill(basis, listing=text, between=between, comfort=ease, spare_ports=spare)
