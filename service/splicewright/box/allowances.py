"""The volume allowances that the contents of a box ask for, each with its source.

Every figure and every word comes from `tables/`; here is only what is counted with what.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from fractions import Fraction

from splicewright.box.model import Contents, Piece, Wire
from splicewright.box.read import shorter
from splicewright.box.volume import NOTHING, Volume
from splicewright.tables.boxes import AllowanceRules, AllowanceText, Source, conductor_volume, free_length
from splicewright.units import Size


@dataclass(frozen=True, slots=True)
class Allowance:
    """What one thing asks for: `count` allowances of a conductor of `size`. `each` None: the size has no volume."""

    kind: str
    words: str
    count: Fraction
    size: Size
    source: Source

    @property
    def each(self) -> Volume | None:
        """One allowance."""
        found = conductor_volume(self.size)
        return None if found is None else Volume(found.in3)

    @property
    def total(self) -> Volume | None:
        """All of them; none asked for is nothing, whatever the size."""
        if not self.count:
            return NOTHING
        return None if self.each is None else self.each * self.count


def allowances(contents: Contents, rules: AllowanceRules) -> tuple[Allowance, ...]:
    """Give every allowance, the larger sizes of a kind first. The order of the contents does not matter."""
    left_out, counted = _from_canopy(contents.wires, rules)
    return (
        *_conductors([one for one in counted if not one.grounding], rules),
        *_grounding([one for one in counted if one.grounding], rules),
        *_left_out(left_out, rules),
        *_by_largest(contents, rules),
        *_pieces("devices", contents.devices, *rules.devices),
        *_pieces("terminal-blocks", contents.terminal_blocks, *rules.terminal_blocks),
    )


def _made(kind: str, told: AllowanceText, count: Fraction | int, size: Size, **places: object) -> Allowance:
    return Allowance(kind, told.words.format(size=size, **places), Fraction(count), size, told.source)


def _numbers(counts: Iterable[tuple[Size, int, int]]) -> list[tuple[Size, int, int]]:
    """Add up (size, what sets it apart, count) where size and mark are alike; the larger sizes first."""
    found: dict[tuple[Size, int], int] = {}
    for size, mark, count in sorted(counts, key=lambda one: (-one[0].area, one[1])):
        found[size, mark] = found.get((size, mark), 0) + count
    return [(size, mark, count) for (size, mark), count in found.items()]


def _from_canopy(wires: Iterable[Wire], rules: AllowanceRules) -> tuple[list[tuple[Size, int]], list[Wire]]:
    """Part what may be left out, as coming from a canopy, from what is counted: of fixture wires the largest few."""
    left_out: list[tuple[Size, int]] = []
    counted: list[Wire] = []
    room = rules.canopy_fixture_wires
    for one in sorted(wires, key=lambda wire: -wire.size.area):
        spared = 0
        if one.canopy and one.grounding:
            spared = one.count
        elif one.canopy and one.size < rules.canopy_smaller_than:
            spared = min(room, one.count)
            room -= spared
        if spared:
            left_out.append((one.size, spared))
        if one.count > spared:
            counted.append(replace(one, count=one.count - spared))
    return left_out, counted


def _left_out(sizes: Iterable[tuple[Size, int]], rules: AllowanceRules) -> Iterator[Allowance]:
    for size, _, count in _numbers((size, 0, count) for size, count in sizes):
        yield _made("canopy", rules.canopy, 0, size, wires=count)


def _conductors(wires: Iterable[Wire], rules: AllowanceRules) -> Iterator[Allowance]:
    order = list(rules.paths)
    for size, at, count in _numbers((wire.size, order.index(_path(wire)), wire.count) for wire in wires):
        each, told = rules.paths[order[at]]
        yield _made("conductors", told, each * count, size, wires=count)


def _path(wire: Wire) -> str:
    """Give what the wire counts as: a loop that was measured and is too short is no long loop."""
    if wire.path == "looped" and wire.free and shorter(wire.free, free_length(wire.free.unit).loop):
        return "short-loop"
    return wire.path


def _grounding(wires: Iterable[Wire], rules: AllowanceRules) -> Iterator[Allowance]:
    wires = list(wires)
    for size, _, count in _numbers((wire.size, 0, wire.count) for wire in wires if wire.path == "stays"):
        yield _made("conductors", rules.paths["stays"][1], 0, size, wires=count)
    entering = [wire for wire in wires if wire.path != "stays"]
    apart = rules.grounding.isolated_apart
    together = [one for one in entering if not (apart and one.isolated)]
    isolated = [one for one in entering if apart and one.isolated]
    for kind, group, told in (
        ("grounding", together, rules.grounding.told),
        ("isolated-grounding", isolated, rules.grounding.isolated_told),
    ):
        if group:
            count = sum(one.count for one in group)
            largest = max(one.size for one in group)
            yield _made(kind, told, rules.grounding.allowances(count), largest, wires=count)


def _by_largest(contents: Contents, rules: AllowanceRules) -> Iterator[Allowance]:
    for kind, (each, told), count in (
        ("clamps", rules.clamps, int(contents.clamps)),
        ("fittings", rules.fittings, contents.fittings),
    ):
        if count:
            yield _made(kind, told, each * count, contents.largest, pieces=count)


def _pieces(kind: str, pieces: Iterable[Piece], each: int, told: AllowanceText) -> Iterator[Allowance]:
    for size, gangs, count in _numbers((piece.size, piece.gangs, piece.count) for piece in pieces):
        yield _made(kind, told, each * gangs * count, size, pieces=count, gangs=gangs)
