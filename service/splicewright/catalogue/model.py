"""Connectors and what their listings say, and what a listing looks at in a joint. Made by `loader.py`; never changed.

Connectors, combinations and catalogues are compared by identity, which makes them cheap keys: a catalogue is
read once, and its digest says whether two of them hold the same.

A listing looks at how many conductors of which sizes and classes there are: not at order, role or insulation. A class
is a metal, a construction and an end. Each is one bit, so that "takes these" is a single `&`: fill runs over every
connector of a catalogue for every question.
"""

from __future__ import annotations

import functools
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from operator import or_
from typing import Any, NamedTuple

from splicewright.catalogue.takes import Figure, Take
from splicewright.question.model import Joint
from splicewright.question.vocabulary import CONSTRUCTION, END, MATERIAL
from splicewright.units import Size, counted, size, whole

# --- what listings say -----------------------------------------------------------------------

Attribute = str | int | bool | frozenset[str]


@dataclass(frozen=True, slots=True)
class CombinationEntry:
    """Like conductors of a combination: how many, how large, and the classes they may be (see `kind_bit`)."""

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


class ListedFigure(NamedTuple):
    """A figure for a joint as {value, unit}: that of its largest conductor.

    Where its conductors have not all the same, `by_conductor` tells it for each size and metal.
    """

    value: dict[str, Any]
    by_conductor: list[dict[str, Any]] = []  # noqa: RUF012 - never changed


@dataclass(frozen=True, slots=True, eq=False, weakref_slot=True)
class Connector:
    """One connector with its listing.

    `attributes` has the coded value of each attribute of `rulebook.attributes` on which the listing is not
    silent: words as text, list-valued ones as frozenset, flags as bool, volts and amperes in tenths, degrees in
    ninetieths of a degree Celsius, height in micrometres. `unknown` are those of which the listing does not tell
    whether they are so. `figures` has strip and torque, and the volts, degrees and amperes that depend on size or
    metal. `facts` has what the user says of buying and using it, and `source`; `cells` where its parts were read
    from. `printed` is the listing as an answer or a page shows it.
    """

    id: str
    name: str  # what people call it
    method: str
    takes: tuple[Take, ...]
    kinds: int
    attributes: Mapping[str, Attribute]
    figures: Mapping[str, tuple[Figure, ...]] = field(default_factory=dict)
    unknown: frozenset[str] = frozenset()
    facts: Mapping[str, Any] = field(default_factory=dict)
    cells: Mapping[str, str] = field(default_factory=dict, repr=False)
    printed: Mapping[str, Any] = field(default_factory=dict, repr=False)

    def figure(self, name: str, joint: Joint, *, alike: bool = False) -> ListedFigure | None:
        """Give a figure (`strip`, `torque`) for a joint; None where none is listed for its largest conductor.

        `alike` is whether that of the largest is one for all.
        """
        listed = self.figures.get(name)
        if not listed:
            return None
        if len(listed) == 1 and listed[0].least is None and not listed[0].materials:
            return ListedFigure(listed[0].value.to_dict())
        sizes = dict.fromkeys((one.size, one.material) for one in sorted(joint.conductors, key=lambda c: -c.size.area))
        rows = [(size, material, _holding(listed, size, material)) for size, material in sizes]
        if not rows[0][2]:
            return None
        value = rows[0][2][0].value
        if alike or all(found and all(one.value == value for one in found) for *_, found in rows):
            return ListedFigure(value.to_dict())
        each = [row for size, material, found in rows for row in _told(name, size, material, found)]
        return ListedFigure(value.to_dict(), each)

    def attributes_in(self, shape: Shape) -> Mapping[str, Attribute]:
        """Give the listed attributes for a joint: a figure by size and metal as its worst conductor has it."""
        found = dict(self.attributes)
        for name in self.varying:
            each = [_holding(self.figures[name], part.size, part.words[1]) for part in shape.parts]
            if all(each) or (name == "amps" and any(each)):  # a size without amperes carries what it may
                found[name] = min(whole(one.value.value, one.value.unit) for figures in each for one in figures)
        return found

    def silent_on(self, attributes: Mapping[str, Attribute], failed: Iterable[str]) -> tuple[str, ...]:
        """Give the attributes that a joint asked for in vain, if for all of them it is only that nothing is known.

        `attributes` are its own, as they are for that joint.
        """
        names = tuple(failed)
        may_be = [name not in attributes and (name in self.unknown or name in self.figures) for name in names]
        return names if all(may_be) else ()

    @property
    def varying(self) -> tuple[str, ...]:
        """The attributes that are listed by size or metal."""
        return tuple(name for name in self.figures if name in ("degrees", "volts", "amps"))

    def to_dict(self) -> dict[str, Any]:
        """Give the listing in maps, lists and words, quantities as {value, unit}."""
        return dict(self.printed)


def _holding(figures: Iterable[Figure], size: Size, material: str) -> list[Figure]:
    """Give the figures for conductors of one size and metal."""
    return [
        one
        for one in figures
        if (not one.materials or material in one.materials)
        and (one.least is None or one.most is None or one.least <= size <= one.most)
    ]


def _told(name: str, of: Size, material: str, figures: Iterable[Figure]) -> Iterator[dict[str, Any]]:
    """Tell the figures for conductors of one size and metal; one without a value where there is none."""
    written = {"figure": name, "size": of.to_dict(), "material": material}
    for value, ports in dict.fromkeys((one.value, one.ports) for one in figures) or [(None, "")]:
        yield {**written, **({"value": value.to_dict()} if value else {}), **({"ports": ports} if ports else {})}


@dataclass(frozen=True, slots=True, eq=False)
class Catalogue:
    """Connectors, sorted by id, under one name. `digest` addresses what they say, whatever the file looks like."""

    name: str
    note: str
    connectors: tuple[Connector, ...]
    digest: str
    demo: bool = False  # its connectors are invented, to show how answers look

    def connector(self, connector_id: str) -> Connector:
        """Give a connector by its id. Raises KeyError."""
        for connector in self.connectors:
            if connector.id == connector_id:
                return connector
        raise KeyError(connector_id)

    def named(self) -> dict[str, Any]:
        """Give its name as answers name it, and that it is a demonstration where it is."""
        return {"name": self.name, "demo": True} if self.demo else {"name": self.name}

    def heading(self) -> dict[str, Any]:
        """Give what it is, without its connectors."""
        return {**self._head, "connector_count": len(self.connectors)}

    def to_dict(self, method: str | None = None) -> dict[str, Any]:
        """Give it in maps, lists and words, with every listing, or those of one method."""
        connectors = [connector.to_dict() for connector in self.connectors if method in (None, connector.method)]
        return {**self._head, "connectors": connectors}

    @property
    def _head(self) -> dict[str, Any]:
        return {**self.named(), "note": self.note, "digest": self.digest}


# --- classes of conductors, and joints as listings see them ----------------------------------

Kind = tuple[str, str, str]  # material, construction, end

_KINDS: tuple[Kind, ...] = tuple((m, c, e) for m in MATERIAL for c in CONSTRUCTION for e in END)
_BITS: dict[Kind, int] = {kind: 1 << at for at, kind in enumerate(_KINDS)}


def kind_bit(material: str, construction: str, end: str) -> int:
    """Give the bit of one kind of conductor. Raises KeyError for a word that is not in the vocabulary."""
    return _BITS[material, construction, end]


def kinds_mask(materials: Iterable[str], constructions: Iterable[str], ends: Iterable[str]) -> int:
    """Give the set of every kind made of these words."""
    materials, constructions, ends = tuple(materials), tuple(constructions), tuple(ends)
    return sum(_BITS[m, c, e] for m in set(materials) for c in set(constructions) for e in set(ends))


def kinds_in(mask: int) -> Iterator[Kind]:
    """Give the kinds of a set, in the order of the vocabulary."""
    return (kind for kind, bit in _BITS.items() if mask & bit)


@functools.lru_cache(maxsize=1024)
def kinds_text(mask: int) -> str:
    """Say a set of kinds in words: `solid or stranded copper`. Plain ends go without saying where no other are."""
    by_construction: dict[str, list[tuple[str, str]]] = {}
    for material, construction, end in kinds_in(mask):
        by_construction.setdefault(construction, []).append((material, end))
    alike: dict[tuple[tuple[str, str], ...], list[str]] = {}
    for construction, others in by_construction.items():
        alike.setdefault(tuple(others), []).append(construction)
    return "; ".join(part for others, constructions in alike.items() for part in _parts(constructions, others))


def _parts(constructions: list[str], others: tuple[tuple[str, str], ...]) -> Iterator[str]:
    by_material: dict[str, list[str]] = {}
    for material, end in others:
        by_material.setdefault(material, []).append(end)
    with_ends: dict[tuple[str, ...], list[str]] = {}
    for material, some in by_material.items():
        with_ends.setdefault(tuple(some), []).append(material)
    for ends, materials in with_ends.items():
        text = f"{_either(constructions)} {_either(materials)}"
        yield text if ends == ("plain",) else f"{text} with {_either(ends)} ends"


def _either(words: Iterable[str]) -> str:
    *most, last = words
    return f"{', '.join(most)} or {last}" if most else last


@dataclass(frozen=True)
class LikeConductors:
    """Conductors of one size and kind. `words` are its construction, material and end."""

    size: Size
    bit: int
    count: int
    words: tuple[str, str, str]

    @cached_property
    def area(self) -> int:
        """The area of one of them in µm²."""
        return self.size.area

    @cached_property
    def text(self) -> str:
        """One of them in words: `12 AWG solid`."""
        return f"{self.size} {self.words[0]}"


@dataclass(frozen=True, eq=False)
class Shape:
    """A joint as a multiset of sizes and kinds, largest first."""

    parts: tuple[LikeConductors, ...]
    areas: tuple[int, ...]  # µm², one for each conductor, largest first
    bits: tuple[int, ...]  # the kind of each conductor, in the same places
    mask: int  # every kind in it
    count: int

    @cached_property
    def counted(self) -> str:
        """How many conductors it has, in words."""
        return counted(self.count, "conductor")

    @cached_property
    def kinds(self) -> tuple[int, ...]:
        """The kind of each conductor, in an order that does not depend on sizes."""
        return tuple(sorted(self.bits))

    @cached_property
    def text(self) -> str:
        """The joint in words. Kinds are said where the conductors differ in them."""
        said: dict[tuple[str, tuple[str, ...]], int] = {}
        varied = [len({part.words[at] for part in self.parts}) > 1 for at in range(3)]
        for part in self.parts:
            words = tuple(word for word, differs in zip(part.words, varied, strict=True) if differs and word != "plain")
            key = (part.size.text, words)
            said[key] = said.get(key, 0) + part.count
        return " + ".join(" ".join((f"{count} x {size}", *words)) for (size, words), count in said.items())


def shape_of(joint: Joint) -> Shape:
    """Give the shape of a joint: the same object for every joint of one shape, so that it makes a cheap key."""
    global _last  # noqa: PLW0603 - one question asks every connector about the same joint
    joint_seen, shape = _last
    if joint_seen is not joint:
        counts: dict[tuple[str, str, str, str], int] = {}
        for conductor in joint.conductors:
            key = (conductor.size.text, conductor.material, conductor.construction, conductor.end)
            counts[key] = counts.get(key, 0) + conductor.count
        shape = _shape(tuple(sorted(counts.items())))
        _last = (joint, shape)
    return shape


@functools.lru_cache(maxsize=4096)
def _shape(counts: tuple[tuple[tuple[str, str, str, str], int], ...]) -> Shape:
    parts = sorted(
        (
            LikeConductors(size(text), kind_bit(material, construction, end), count, (construction, material, end))
            for (text, material, construction, end), count in counts
        ),
        key=lambda part: (-part.area, part.size.text, part.bit),
    )
    bits = tuple(part.bit for part in parts for _ in range(part.count))
    return Shape(
        parts=tuple(parts),
        areas=tuple(part.area for part in parts for _ in range(part.count)),
        bits=bits,
        mask=functools.reduce(or_, bits, 0),
        count=len(bits),
    )


#: The joint asked about last, with its shape: one pair, replaced as a whole, so that threads never see half
#: of it.
_last: tuple[Joint, Shape] = (Joint(purpose="splice", conductors=()), _shape(()))
