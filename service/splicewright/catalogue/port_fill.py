"""Fill by ports: every conductor in a port that takes its kind and size, one to a port unless listed for more.

Empty ports are allowed. A range is listed for sizes of the system it is printed in; a size of the other
system that lies inside it by area is bracketed by the two ends of the range.
"""

from __future__ import annotations

import functools
from collections.abc import Callable
from dataclasses import dataclass

from splicewright.catalogue.bipartite_matching import most_placed
from splicewright.catalogue.model import LikeConductors, Range, Shape, Take, kind_bit, kinds_in
from splicewright.catalogue.outcome import Basis, Fill, comfort, refused
from splicewright.plurals import counted


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
            return refused("ports-too-few", f"{counted(shape.count, 'conductor')}; {self._places}")
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
            return refused("too-few", f"{counted(shape.count, 'conductor')}; at least {self._least} are listed")
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
