"""What a listing looks at in a joint: how many conductors of which sizes and classes; not order, role or insulation.

A class is a metal, a construction and an end. Each is one bit, so that "takes these" is a single `&`: fill runs over
every connector of a catalogue for every question.
"""

from __future__ import annotations

import functools
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import cached_property
from operator import or_

from splicewright.question.model import Joint
from splicewright.question.vocabulary import CONSTRUCTION, END, MATERIAL
from splicewright.units import Size, size

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
