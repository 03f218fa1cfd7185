"""What a listing looks at in a joint: how many conductors of which sizes and kinds; not order, role or insulation."""

from __future__ import annotations

import functools
from dataclasses import dataclass
from functools import cached_property
from operator import or_

from splicewright.catalogue.kinds import kind_bit
from splicewright.question.model import Joint
from splicewright.units import Size, size


@dataclass(frozen=True)
class Part:
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

    parts: tuple[Part, ...]
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
        for one in joint.conductors:
            key = (one.size.text, one.material, one.construction, one.end)
            counts[key] = counts.get(key, 0) + one.count
        shape = _shape(tuple(sorted(counts.items())))
        _last = (joint, shape)
    return shape


@functools.lru_cache(maxsize=4096)
def _shape(counts: tuple[tuple[tuple[str, str, str, str], int], ...]) -> Shape:
    parts = sorted(
        (
            Part(size(text), kind_bit(material, construction, end), count, (construction, material, end))
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
_last: tuple[Joint, Shape] = (Joint("splice", ()), _shape(()))
