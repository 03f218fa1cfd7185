"""Kinds of conductor as a listing tells them apart: metal, construction and end. A set of kinds is one whole number.

Each of the kinds is one bit, so that "takes these" is a single `&`: fill runs over every connector of a
catalogue for every question.
"""

from __future__ import annotations

import functools
from collections.abc import Iterable, Iterator

from splicewright.question.vocabulary import CONSTRUCTION, END, MATERIAL

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
