"""Connectors and what their listings say. Made by `build.py` from what a catalogue file holds; never changed.

Connectors, combinations and catalogues are compared by identity, which makes them cheap keys: a catalogue is
read once, and its digest says whether two of them hold the same.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any

from splicewright.plurals import counted
from splicewright.question.model import Joint
from splicewright.units import Measured, Size

Attribute = str | int | bool | frozenset[str]


@dataclass(frozen=True, slots=True)
class CombinationEntry:
    """Like conductors of a combination: how many, how large, and the classes they may be (see shape.py)."""

    size: Size
    count: int
    kinds: int
    words: str = ""  # the kinds that this entry names for itself, as printed


@dataclass(frozen=True, eq=False)
class Combination:
    """One listed set of conductors, largest first."""

    entries: tuple[CombinationEntry, ...]

    @cached_property
    def areas(self) -> tuple[int, ...]:
        """The area (µm²) of each conductor, largest first."""
        return tuple(entry.size.area for entry in self.entries for _ in range(entry.count))

    @cached_property
    def kinds(self) -> int:
        """Every kind that some conductor of it may be."""
        found = 0
        for entry in self.entries:
            found |= entry.kinds
        return found

    @cached_property
    def uniform(self) -> bool:
        """Whether each of its conductors may be any of its kinds."""
        return all(entry.kinds == self.kinds for entry in self.entries)

    @cached_property
    def text(self) -> str:
        """The combination as printed: `2 x 12 AWG + 1 x 18 AWG fine-stranded`."""
        return " + ".join(f"{entry.count} x {entry.size}{entry.words and ' ' + entry.words}" for entry in self.entries)

    def __str__(self) -> str:
        """Give it as printed."""
        return self.text


@dataclass(frozen=True, slots=True)
class Range:
    """The sizes that a port takes of some kinds of conductor. Both ends are of one system of sizes and included."""

    least: Size
    most: Size
    kinds: int
    words: str  # `fine-stranded with ferruled ends`

    def __str__(self) -> str:
        """Give it as printed: `solid 20 AWG to 12 AWG`."""
        sizes = str(self.most) if self.least == self.most else f"{self.least} to {self.most}"
        return f"{self.words} {sizes}"


@dataclass(frozen=True, slots=True)
class Port:
    """Like ports: how many there are, how many conductors each may hold, and of which kinds and sizes."""

    count: int
    conductors: int
    ranges: tuple[Range, ...]

    def __str__(self) -> str:
        """Give it as printed: `3 ports: solid 20 AWG to 12 AWG`."""
        each = "" if self.conductors == 1 else f", each for up to {self.conductors} conductors"
        ports = counted(self.count, "port")
        return f"{ports}{each}: {', '.join(map(str, self.ranges))}"


@dataclass(frozen=True, slots=True)
class Take:
    """One group of a listing: combinations or ports. `least` is the fewest conductors that its ports are listed for."""

    combinations: tuple[Combination, ...] = ()
    ports: tuple[Port, ...] = ()
    least: int = 1

    def __str__(self) -> str:
        """Give its ports as printed."""
        return " + ".join(map(str, self.ports))


@dataclass(frozen=True, slots=True)
class Torque:
    """What a screw or nut is tightened to, from size `least` to `most`; both None where one figure holds for all."""

    value: Measured
    least: Size | None = None
    most: Size | None = None

    def holds_for(self, size: Size) -> bool:
        """Say whether the figure is the one for a conductor of that size."""
        return self.least is None or self.most is None or self.least <= size <= self.most


@dataclass(frozen=True, slots=True, eq=False, weakref_slot=True)
class Connector:
    """One connector with its listing.

    `attributes` has the coded value of each attribute of `rulebook.attributes` on which the listing is not
    silent: words as text, list-valued ones as frozenset, flags as bool, volts in tenths, degrees in
    ninetieths of a degree Celsius, height in micrometres. `printed` is the listing as an answer or a page
    shows it.
    """

    id: str
    method: str
    takes: tuple[Take, ...]
    kinds: int
    attributes: Mapping[str, Attribute]
    strip: Measured | None = None
    torques: tuple[Torque, ...] = ()
    printed: Mapping[str, Any] = field(default_factory=dict, repr=False)

    def torque(self, joint: Joint) -> Measured | None:
        """Give the torque listed for a joint's largest conductor; None where no figure is listed for it."""
        largest = max(conductor.size for conductor in joint.conductors)
        return next((torque.value for torque in self.torques if torque.holds_for(largest)), None)

    def figure(self, name: str, joint: Joint) -> dict[str, Any] | None:
        """Give a figure of make-up (`strip` or `torque`) as {value, unit}; None where the listing is silent."""
        found = self.strip if name == "strip" else self.torque(joint)
        return None if found is None else {"value": found.value, "unit": found.unit}

    def to_dict(self) -> dict[str, Any]:
        """Give the listing in maps, lists and words, quantities with their units."""
        return dict(self.printed)


@dataclass(frozen=True, slots=True, eq=False)
class Catalogue:
    """Connectors, sorted by id, under one name. `digest` addresses what they say, whatever the file looks like."""

    name: str
    note: str
    connectors: tuple[Connector, ...]
    digest: str

    def connector(self, connector_id: str) -> Connector:
        """Give a connector by its id. Raises KeyError."""
        for connector in self.connectors:
            if connector.id == connector_id:
                return connector
        raise KeyError(connector_id)

    def heading(self) -> dict[str, Any]:
        """Give what it is, without its connectors."""
        return {"name": self.name, "note": self.note, "digest": self.digest, "count": len(self.connectors)}

    def to_dict(self, method: str | None = None) -> dict[str, Any]:
        """Give it in maps, lists and words, with every listing, or those of one method."""
        connectors = [connector.to_dict() for connector in self.connectors if method in (None, connector.method)]
        return {"name": self.name, "note": self.note, "digest": self.digest, "connectors": connectors}
