"""A question as read: every word has a value, given or by default. Numbers that were not given are None."""

from __future__ import annotations

import functools
from dataclasses import dataclass, field, fields, replace
from operator import attrgetter
from typing import TYPE_CHECKING, Any

import orjson

from splicewright.units import Size

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Mapping, Sequence


@dataclass(frozen=True, slots=True)
class Measured:
    """A number with its unit, as given."""

    value: float
    unit: str

    def __str__(self) -> str:
        """Give it as printed: `24 in`."""
        return f"{self.value:g} {self.unit}"


class _Part:
    """A part of a question. It is looked up by its value again and again, so its hash is remembered."""

    __slots__ = ("_hash",)
    _hash: int

    def __hash__(self) -> int:
        try:
            found = self._hash
        except AttributeError:
            found = hash(_VALUES[type(self)](self))
            object.__setattr__(self, "_hash", found)
        return found


@dataclass(frozen=True, slots=True)
class Conductor(_Part):
    """One or more like wire ends. `insulation` None means not stated."""

    size: Size
    count: int
    material: str
    construction: str
    finish: str
    end: str
    condition: str
    circuit: str
    cable: str
    insulation: tuple[str, ...] | None
    role: str
    path: str

    __hash__ = _Part.__hash__  # or it would be generated


@dataclass(frozen=True, slots=True)
class Joint(_Part):
    """What is joined. Like conductors are one entry; entries stand largest first."""

    purpose: str
    conductors: tuple[Conductor, ...]

    __hash__ = _Part.__hash__  # or it would be generated


@dataclass(frozen=True, slots=True)
class Place(_Part):
    """Where the joint is."""

    premises: str
    exposure: str
    site: str
    enclosure: str
    box_material: str
    reach: str
    movement: str
    corrosion: tuple[str, ...]
    ambient: Measured
    hazardous: bool
    depth: Measured | None
    cover: str
    wiring: str
    dwelling: bool

    __hash__ = _Part.__hash__  # or it would be generated


@dataclass(frozen=True, slots=True)
class Circuit(_Part):
    """What the joint is part of."""

    kind: str
    serves: str
    volts: float | None
    current: str
    amps: float | None
    overcurrent_amps: float | None
    continuous: bool | None
    multiwire: bool
    gfci: bool

    __hash__ = _Part.__hash__  # or it would be generated


@dataclass(frozen=True, slots=True)
class Work(_Part):
    """What kind of work it is."""

    reopened: str
    temporary: bool
    wiring_age: str | None

    __hash__ = _Part.__hash__  # or it would be generated


@dataclass(frozen=True, slots=True)
class Question:
    """All that decides an answer. Two questions that differ only in the order of conductors are equal."""

    code: str
    amendments: tuple[str, ...]
    catalogue: str
    joint: Joint
    place: Place
    circuit: Circuit
    work: Work

    def canonical(self) -> bytes:
        """Write the question in its one canonical form: what an answer's address is made of."""
        names = ("circuit", "joint", "place", "work")
        parts = {name: orjson.Fragment(_canonical_part(getattr(self, name))) for name in names}
        plain = {"amendments": self.amendments, "catalogue": self.catalogue, "code": self.code, **parts}
        return orjson.dumps(plain, option=orjson.OPT_SORT_KEYS)


@functools.lru_cache(maxsize=4096)
def _canonical_part(part: Joint | Place | Circuit | Work) -> bytes:
    return orjson.dumps(as_plain(part), option=orjson.OPT_SORT_KEYS)


@dataclass(frozen=True, slots=True)
class ReadAs:
    """What was sent at a place (a JSON Pointer into the question), and what it was taken for."""

    pointer: str
    sent: Any
    taken: Any

    def to_dict(self, within: str = "") -> dict[str, Any]:
        """Write it as JSON has it; `within` leads to the question."""
        return {"pointer": within + self.pointer, "sent": self.sent, "taken": self.taken}


@dataclass(frozen=True, slots=True)
class ParsedQuestion:
    """A question with what goes with it but does not decide it."""

    question: Question
    id: str | None = None
    explain: str = "full"
    limit: int = 5
    assumed: Mapping[str, Any] = field(default_factory=dict)  # JSON Pointer into the question as sent: value
    entering: tuple[Conductor, ...] = ()  # the conductors in the order in which they were sent
    read_as: tuple[ReadAs, ...] = ()  # what was taken for another way to write what is meant


def read_as_plain(taken: Iterable[ReadAs], within: str = "") -> dict[str, Any]:
    """Write what was taken for another way to write what is meant: under `read_as`, where there is any."""
    written = [one.to_dict(within) for one in taken]
    return {"read_as": written} if written else {}


def merged(conductors: Sequence[Conductor]) -> tuple[Conductor, ...]:
    """Join like conductors into one entry each and sort them: largest first, then by every other word."""
    if len(conductors) == 1:
        return (conductors[0],)
    counts: dict[Conductor, int] = {}
    for conductor in conductors:
        one = replace(conductor, count=1)
        counts[one] = counts.get(one, 0) + conductor.count
    together = [replace(one, count=count) for one, count in counts.items()]
    return tuple(sorted(together, key=_order))


def _order(conductor: Conductor) -> tuple[Any, ...]:
    return (-conductor.size.area, *(str(getattr(conductor, f.name)) for f in fields(Conductor)))


_VALUES: Mapping[type, Callable[[Any], object]] = {
    kind: attrgetter(*(one.name for one in fields(kind))) for kind in (Conductor, Joint, Place, Circuit, Work)
}


def as_plain(value: Any) -> Any:
    """Turn a model into maps, lists and words, as JSON has them. What was not stated is left out."""
    kind = type(value)
    if kind in _AS_THEY_ARE:
        return value
    if kind is Size:
        return value.text
    if kind is tuple:
        return [as_plain(item) for item in value]
    pairs = [(name, getattr(value, name)) for name in _NAMES[kind]]
    return {name: as_plain(inner) for name, inner in pairs if inner is not None}


_AS_THEY_ARE = frozenset({str, int, float, bool, type(None)})
_NAMES = {
    kind: tuple(one.name for one in fields(kind))
    for kind in (Measured, Conductor, Joint, Place, Circuit, Work, Question)
}
