"""Slips in what a listing takes: combinations that stand out, holes between them, figures that leave sizes out.

The laws of fill that joints are judged by hold for whatever is listed; here is told where a chart itself breaks them:
fewer of the same, and thinner by one gauge, go in wherever more and thicker do and fewer and thinner do too.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Iterator, Mapping, Sequence
from fractions import Fraction
from math import prod
from typing import NamedTuple

from splicewright.catalogue.listing_marks import marks
from splicewright.catalogue.model import Combination, CombinationEntry, kind_bit
from splicewright.catalogue.slips import Listed, Slip, beyond_usual, check, error, grave_check, warning
from splicewright.catalogue.takes import Figure, in_mm2
from splicewright.json_pointer import join
from splicewright.tables.conductors import most_amperes
from splicewright.tables.metal import metal_of
from splicewright.units import Size, exact, size, whole

_GAP = 2  # times the metal of the next one
_FEW = 4  # of so many combinations at most one stands apart
_BEYOND = Fraction(3, 2)  # times the metal: what fills one bore with two conductors or more is not farther apart
_GAUGES = tuple(size(f"{gauge} AWG") for gauge in (24, 22, 20, 18, 16, 14, 12, 10, 8, 6, 4, 3, 2, 1))
#: Gauges of which nothing is made for wiring in some ranges; a chart that leaves them out has no hole.
_RARE = {size(f"{gauge} AWG").area for gauge in (24, 22, 20, 3, 1)}


#: A size with its kinds, and what else is in the combination.
_Beside = tuple[str, int, tuple[CombinationEntry, ...]]


class _Row(NamedTuple):
    """One line of a chart as it is written, with all that it stands for."""

    take: int
    line: int
    written: Mapping[str, int | str]
    combinations: Sequence[Combination]  # from its fewest to its most

    @property
    def most(self) -> Combination:
        return self.combinations[-1]

    @property
    def metal(self) -> int:
        return _metal(self.most)

    @property
    def many(self) -> bool:
        """Whether it has more conductors than hardly any listing has in one."""
        return len(self.most.areas) > marks().conductors_most

    @property
    def pointer(self) -> str:
        """Lead to the largest number in it."""
        key = max(self.written, key=lambda one: int(str(self.written[one]).rpartition(" ")[2]))
        return join("/takes", self.take, "combinations", self.line, key)


def _rows_if_many(one: Listed) -> Sequence[_Row]:
    """Give the rows of a listing where some have too many; nearly none has, and then none is read again."""
    most = marks().conductors_most
    every = (combination.entries for take in one.connector.takes for combination in take.combinations)
    return [*_rows(one)] if any(sum(entry.count for entry in entries) > most for entries in every) else []


def _rows(one: Listed) -> Iterator[_Row]:
    for number, (given, take) in enumerate(zip(one.given["takes"], one.connector.takes, strict=True)):
        rest = iter(take.combinations)
        for line, written in enumerate(given.get("combinations", ())):
            yield _Row(number, line, written, list(itertools.islice(rest, prod(map(_numbers, written.values())))))


def _metal(combination: Combination) -> int:
    return sum(entry.count * entry.size.area for entry in combination.entries)


def _numbers(written: int | str) -> int:
    """Give how many numbers a span stands for."""
    least, _, most = str(written).partition(" to ")
    return int(most or least) - int(least) + 1


def _charts(one: Listed) -> Iterator[tuple[int, Sequence[Combination]]]:
    """Give the combinations of each group, but of one where a row has too many: what that leaves open is its doing."""
    unsure = {row.take for row in _rows_if_many(one) if row.many}
    for number, take in enumerate(one.connector.takes):
        if number not in unsure:
            yield number, take.combinations


@grave_check
def _too_many(one: Listed) -> Iterator[Slip]:
    """Tell rows with a digit too many: 13 for 3 goes far beyond what the other rows have, by the metal in all."""
    rows = _rows_if_many(one)
    for row in rows:
        if not row.many:
            continue
        next_to = max((other for other in rows if other is not row), key=lambda other: other.metal, default=None)
        if next_to and row.metal > _BEYOND * next_to.metal:
            says = (
                f"up to {row.most} has over {float(_BEYOND):g} times the metal of any other row; next is {next_to.most}"
            )
            yield beyond_usual(one, row.pointer, says, "combinations")
        else:
            says = f"is up to {row.most}; hardly any listing has more than {marks().conductors_most} conductors in one"
            yield warning(row.pointer, says, "combinations")


@grave_check
def _stands_apart(one: Listed) -> Iterator[Slip]:
    """Tell combinations with twice the metal of all others, or with half of it."""
    for number, chart in _charts(one):
        if len(chart) < _FEW:
            continue
        listed = sorted(chart, key=_metal)
        metal = [_metal(combination) for combination in (*listed[:2], *listed[-2:])]
        pointer = f"/takes/{number}/combinations"
        if metal[-1] > _GAP * metal[-2]:
            says = f"{listed[-1]} has over twice the metal of the next, {listed[-2]}"
            yield beyond_usual(one, pointer, says, "combinations")
        if metal[0] * _GAP < metal[1]:
            says = f"{listed[0]} has under half the metal of the next, {listed[1]}"
            yield beyond_usual(one, pointer, says, "combinations")


@check
def _holes_by_number(one: Listed) -> Iterator[Slip]:
    """Tell where fewer of the same are not listed between more and fewer: 2 and 4, not 3."""
    for number, listed in _charts(one):
        alike: dict[_Beside, set[int]] = {}
        for combination in listed:
            for at in {0, len(combination.entries) - 1}:
                entry = combination.entries[at]
                rest = tuple(other for other in combination.entries if other is not entry)
                alike.setdefault((entry.size.text, entry.kinds, rest), set()).add(entry.count)
        told: dict[str, None] = {}
        for (of, _, others), counts in alike.items():
            beside = "".join(f" beside {other.count} x {other.size}" for other in others)
            for fewer, more in itertools.pairwise(sorted(counts)):
                if more - fewer > 1:
                    between = ", ".join(map(str, range(fewer + 1, more)))
                    told[f"lists {fewer} and {more} x {of}{beside}, but not {between}"] = None
        for says in told:
            yield warning(f"/takes/{number}/combinations", says, "combinations")


@check
def _holes_by_size(one: Listed) -> Iterator[Slip]:
    """Tell where a gauge is not listed between a thinner and a thicker one: 12 and 16, not 14."""
    for number, listed in _charts(one):
        alone: dict[tuple[int, int], set[int]] = {}
        for combination in listed:
            if len(combination.entries) == 1:
                entry = combination.entries[0]
                alone.setdefault((entry.count, entry.kinds), set()).add(entry.size.area)
        for (count, _), areas in alone.items():
            for gauge in _GAUGES:
                rare = gauge.area in _RARE
                if not rare and gauge.area not in areas and min(areas) < gauge.area < max(areas):
                    says = f"lists {count} of thinner and of thicker ones, but not {count} x {gauge}"
                    yield warning(f"/takes/{number}/combinations", says, "combinations")


@grave_check
def _nothing_goes_in(one: Listed) -> Iterator[Slip]:
    for number, take in enumerate(one.connector.takes):
        room = sum(port.count * port.conductors for port in take.ports)
        if take.ports and take.least > room:
            yield error(f"/takes/{number}/least", f"is {take.least}, but its ports hold {room}", "ports")
        for at, total in enumerate(take.metal):
            least, most = in_mm2(total.least), in_mm2(total.most)
            if metal_of(total.thickest, "mm2") * total.utmost < least:
                says = f"begins at {total.least}, which {total.utmost} x {total.thickest} do not fill"
                yield error(f"/takes/{number}/metal/{at}/from", says, "metal")
            if metal_of(total.thinnest, "mm2") * total.fewest > most:
                says = f"ends at {total.most}, which {total.fewest} x {total.thinnest} are beyond"
                yield error(f"/takes/{number}/metal/{at}/to", says, "metal")
            elif metal_of(total.thinnest, "mm2") * total.utmost > most:
                says = f"is up to {total.utmost}, but {total.utmost} x {total.thinnest} are beyond {total.most}"
                yield warning(f"/takes/{number}/metal/{at}/count", says, "metal")


# --- figures by size -----------------------------------------------------------------------------


def _taken(one: Listed) -> dict[tuple[int, str], str]:
    """Give the gauges that it takes, with their metals, each in words."""
    found: dict[tuple[int, str], str] = {}
    for take in one.connector.takes:
        for combination in take.combinations:
            for entry in combination.entries:
                found |= _in_metals(entry.size, entry.kinds)
        ends = [(part.least, part.most, part.kinds) for port in take.ports for part in port.ranges]
        ends += [(total.thinnest, total.thickest, total.kinds) for total in take.metal]
        for least, most, kinds in ends:
            between = [gauge for gauge in _GAUGES if least <= gauge <= most and gauge.system == least.system]
            for of in (least, *between, most):
                found |= _in_metals(of, kinds)
    return found


def _in_metals(of: Size, kinds: int) -> Mapping[tuple[int, str], str]:
    metals = [
        metal
        for metal in ("copper", "aluminum", "copper-clad-aluminum")
        if any(kinds & kind_bit(metal, made, end) for made in ("solid", "stranded", "fine-stranded") for end in _ENDS)
    ]
    return {(of.area, metal): f"{of} {metal}" for metal in metals}


_ENDS = ("plain", "bonded", "ferruled")


@check
def _figures_by_size(one: Listed) -> Iterator[Slip]:
    for name, listed in one.connector.figures.items():
        if any(figure.least is None and not figure.materials for figure in listed):
            continue
        lacking = [text for (area, metal), text in _taken(one).items() if not _has(listed, area, metal)]
        if lacking:
            says = f"has no figure for {', '.join(lacking[:3])}{' and more' * (len(lacking) > 3)}, which it takes"
            yield warning(f"/{name}" if name in one.given else "/takes", says, name)
        yield from _beyond(one, name, listed)
        if name in ("torque", "amps"):
            yield from _falling(name, listed)


def _has(listed: Iterable[Figure], area: int, metal: str) -> bool:
    return any(
        (not figure.materials or metal in figure.materials)
        and (figure.least is None or figure.most is None or figure.least.area <= area <= figure.most.area)
        for figure in listed
    )


def _beyond(one: Listed, name: str, listed: Sequence[Figure]) -> Iterator[Slip]:
    sizes = one.sizes
    for at, figure in enumerate(listed):
        if figure.ports or figure.least is None or figure.most is None:
            continue
        if figure.most < min(sizes) or figure.least > max(sizes):
            says = f"has a figure for {figure.least} to {figure.most}, which it does not take"
            yield warning(f"/{name}/{at}", says, name)


def _falling(name: str, listed: Sequence[Figure]) -> Iterator[Slip]:
    """Tell a figure that falls where conductors get thicker."""
    ranged = [one for one in listed if one.least is not None and not one.ports]
    for metal in {one.materials for one in ranged}:
        rows = sorted(
            (one for one in ranged if one.materials == metal), key=lambda one: one.least or Size(0, "", "awg")
        )
        for thin, thick in itertools.pairwise(rows):
            if _amount(name, thick) < _amount(name, thin):
                says = f"falls from {thin.value} to {thick.value} where conductors get thicker, at {thick.least}"
                yield warning(f"/{name}", says, name)


def _amount(name: str, figure: Figure) -> Fraction:
    if name == "torque":
        return exact(figure.value.value, figure.value.unit)
    return Fraction(whole(figure.value.value, figure.value.unit))


@check
def _amperes(one: Listed) -> Iterator[Slip]:
    """Tell amperes that no conductor which it takes may carry."""
    thick = max(one.sizes)
    most = most_amperes(thick, "copper")
    alone = one.connector.attributes.get("amps")
    ranged = [whole(figure.value.value, "A") for figure in one.connector.figures.get("amps", ())]
    marked = max([*ranged, *([alone] if isinstance(alone, int) else [])], default=0)
    if most and Fraction(marked, 10) > most:
        yield warning("/amps", f"is {marked / 10:g} A, more than {thick}, the thickest that it takes, carries", "amps")
