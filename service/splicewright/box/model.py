"""A box and what is in it, as read: every word has a value. Lengths and volumes that were not given are None."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from splicewright.box.volume import Volume, total
from splicewright.question.read_as import ReadAs
from splicewright.units import Measured, Size

GROUNDING = ("equipment-grounding", "isolated-grounding")


@dataclass(frozen=True, slots=True)
class Section:
    """One section of a box with its volume: the box itself, a ring, a cover."""

    words: str
    volume: Volume
    part: str  # what its volume rests on: `boxes` of the table, or `marked`
    metric: bool = False  # marked in cm3


@dataclass(frozen=True, slots=True)
class Wire:
    """Like wires in the box."""

    size: Size
    count: int
    path: str
    role: str
    isolated: bool
    canopy: bool
    free: Measured | None
    outside: Measured | None

    @property
    def grounding(self) -> bool:
        """Whether it is an equipment grounding conductor, isolated or not, or a bonding jumper, which counts as one."""
        return self.role in (*GROUNDING, "bonding")


@dataclass(frozen=True, slots=True)
class Piece:
    """Like devices or terminal blocks with the largest conductor on them. `gangs` is for devices."""

    size: Size
    count: int
    gangs: int = 1


@dataclass(frozen=True, slots=True)
class Contents:
    """What is in the box."""

    wires: tuple[Wire, ...]
    clamps: bool
    fittings: int
    devices: tuple[Piece, ...]
    terminal_blocks: tuple[Piece, ...]

    @property
    def largest(self) -> Size:
        """The largest conductor present in the box."""
        return max(wire.size for wire in self.wires)

    @property
    def gangs(self) -> int:
        """How many gangs the devices need together; 1 where there is none."""
        return max(1, sum(device.gangs * device.count for device in self.devices))


@dataclass(frozen=True, slots=True)
class BoxRequest:
    """A request as read. `laid` is what goes under each joint, as it was given; `joints` are not read yet."""

    id: str | None
    code: str
    catalogue: str
    explain: str
    include: tuple[str, ...]
    box: Section | None
    gangs: int  # of the box; 0 where it is not made by gangs
    opening: str  # small, large or unknown
    extensions: tuple[Section, ...]
    contents: Contents
    laid: Mapping[str, Any]
    tags: tuple[str, ...]
    joints: tuple[Any, ...]
    assumed: Mapping[str, Any]
    told_by: Mapping[str, str]  # what of `assumed` is no default: who says it
    read_as: tuple[ReadAs, ...] = ()

    @property
    def volume(self) -> Volume | None:
        """The volume of all sections together; None where the box is not known."""
        return None if self.box is None else self.box.volume + self.added

    @property
    def added(self) -> Volume:
        """The volume that the extensions add."""
        return total(extension.volume for extension in self.extensions)

    @property
    def metric_marks(self) -> int:
        """How many sections are marked in cm3."""
        return sum(one.metric for one in (self.box, *self.extensions) if one)
