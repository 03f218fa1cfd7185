"""What is usual on cartons, read from the rulesets: what listings are checked by, never what joints are judged by."""

from __future__ import annotations

import functools
from collections.abc import Mapping
from typing import Any, NamedTuple

from splicewright import shipped
from splicewright.units import Size, size


class Marks(NamedTuple):
    """What is usual on cartons."""

    volts: tuple[int, ...]
    degrees: tuple[int, ...]
    years: int
    strip_mm: tuple[float, float]
    outside_mm: tuple[float, float]
    minutes_most: float
    conductors_most: int
    reach: Mapping[str, tuple[Size, Size]]
    for_good: frozenset[str]
    by_hand: frozenset[str]
    crimped: frozenset[str]
    screwed: frozenset[str]
    seldom_aluminum: frozenset[str]
    unstripped: frozenset[str]
    unsaid: Mapping[str, str]


@functools.cache
def marks() -> Marks:
    """Read them, once a process."""
    path = shipped.folder("rulesets") / "words" / "listing-marks.yaml"
    read: Mapping[str, Any] = shipped.read_data_file(path, path.name).value
    methods = ("for_good", "by_hand", "crimped", "screwed", "seldom_aluminum", "unstripped")
    return Marks(
        volts=tuple(read["volts"]),
        degrees=tuple(read["degrees"]),
        years=read["years"],
        strip_mm=(read["strip_mm"]["least"], read["strip_mm"]["most"]),
        outside_mm=(read["outside_mm"]["least"], read["outside_mm"]["most"]),
        minutes_most=read["minutes_most"],
        conductors_most=read["conductors_most"],
        reach={method: (size(ends["from"]), size(ends["to"])) for method, ends in read["reach"].items()},
        unsaid=read["unsaid"],
        **{name: frozenset(read[name]) for name in methods},
    )
