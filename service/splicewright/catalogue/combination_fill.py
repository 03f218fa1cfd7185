"""Where a joint stands among listed combinations: equal to one, between two, or outside and by how much.

A combination is the tuple of its conductors' areas, largest first. A is at or below B where A has no more
conductors than B and each of A is at most the one of B in its place; two combinations may be neither. Where a
combination says for single conductors what they may be, they must also find places of their classes (see
`most_placed` of fill.py).

Each combination is one bit. For each place (the largest conductor, the next, …) the sets of combinations
whose conductor there is at least, or at most, a given area are made once; those above a joint are then an
intersection of as many sets as it has conductors. Only combinations that take a joint's classes of conductor count:
they are picked out and indexed once for each set of classes that joints turn out to have.
"""

from __future__ import annotations

import itertools
from bisect import bisect_left, bisect_right
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence

from splicewright.catalogue.fill import Fill, comfort, most_placed, refused
from splicewright.catalogue.model import Combination, Shape
from splicewright.memo import Memo
from splicewright.units import counted

Holds = Callable[[Combination, Shape], bool]


def takes_kinds(combination: Combination, shape: Shape) -> bool:
    """Say whether a combination takes conductors of a joint's kinds, sizes aside.

    Each kind in the joint is one that some conductor of it may be, and where its conductors may not all be
    the same kinds, as many of the joint's find a place as there are places for.
    """
    if shape.mask & ~combination.kinds:
        return False
    if combination.uniform:
        return True
    kinds = [entry.kinds for entry in combination.entries]
    choices = [[at for at, mask in enumerate(kinds) if mask & bit] for bit in shape.bits]
    return most_placed(choices, _room(combination)) == min(shape.count, len(combination.areas))


def goes_into(combination: Combination, shape: Shape) -> bool:
    """Say whether each conductor of a joint finds a place of its own that is as large and takes its kind."""
    slots = [(entry.size.area, entry.kinds) for entry in combination.entries]
    choices = [
        [at for at, (area, kinds) in enumerate(slots) if area >= part.area and kinds & part.bit]
        for part in shape.parts
        for _ in range(part.count)
    ]
    return most_placed(choices, _room(combination)) == shape.count


def is_filled_by(combination: Combination, shape: Shape) -> bool:
    """Say whether each place of a combination gets a conductor of the joint that is as large and of a kind it takes."""
    choices = [
        [at for at, part in enumerate(shape.parts) if part.area >= entry.size.area and entry.kinds & part.bit]
        for entry in combination.entries
        for _ in range(entry.count)
    ]
    return most_placed(choices, [part.count for part in shape.parts]) == len(combination.areas)


def _room(combination: Combination) -> list[int]:
    return [entry.count for entry in combination.entries]


def size_order(combination: Combination) -> tuple[int, int, tuple[int, ...], str]:
    """Sort combinations by the number of conductors, then by metal."""
    areas = combination.areas
    return (len(areas), sum(areas), areas, combination.text)


class _Steps:
    """Sets of combinations (bits) by a number: those whose number is at least, or at most, the one asked about."""

    __slots__ = ("_at_least", "_at_most", "_numbers")

    def __init__(self, members: Iterable[tuple[int, int]]) -> None:
        """Take (number, bit) pairs."""
        members = sorted(members)
        self._numbers = sorted({number for number, _ in members})
        by_number: dict[int, int] = {}
        for number, bit in members:
            by_number[number] = by_number.get(number, 0) | bit
        self._at_most = [0, *_running(by_number[number] for number in self._numbers)]
        self._at_least = [0, *_running(by_number[number] for number in reversed(self._numbers))][::-1]

    def at_least(self, number: int) -> int:
        return self._at_least[bisect_left(self._numbers, number)]

    def at_most(self, number: int) -> int:
        return self._at_most[bisect_right(self._numbers, number)]


def _running(sets: Iterable[int]) -> Iterator[int]:
    found = 0
    for one in sets:
        found |= one
        yield found


class Index:
    """Combinations that take one set of kinds, least first (by count, then by metal)."""

    def __init__(self, taking: Sequence[Combination]) -> None:
        self._taking = taking
        everything = [(one.areas, 1 << at) for at, one in enumerate(taking)]
        self._fewest, self._most = len(everything[0][0]), len(everything[-1][0])
        self._largest = max(combination.entries[0].size for combination in taking)
        self._smallest = min(combination.entries[-1].size for combination in taking)
        totals = [sum(areas) for areas, _ in everything]
        self._least_metal, self._most_metal = min(totals), max(totals)
        self._picky = sum(1 << at for at, one in enumerate(taking) if not one.uniform)
        self._places = [
            _Steps((areas[at], bit) for areas, bit in everything if len(areas) > at) for at in range(self._most)
        ]
        self._up_to = [sum(bit for areas, bit in everything if len(areas) <= count) for count in range(self._most + 1)]
        self._shorter = [self._up_to[at] for at in range(self._most)]
        self._smallest_of = _Steps((areas[-1], bit) for areas, bit in everything)
        self._largest_of, self._least_of = _extremes(taking, self._most)
        self._equal: dict[tuple[int, ...], list[tuple[Combination, Fill]]] = {}
        for (areas, _), one in zip(everything, taking, strict=True):
            self._equal.setdefault(areas, []).append((one, self._fits(areas, listing=one.text)))

    def fill(self, shape: Shape) -> Fill:
        """Judge a joint whose kinds all of these combinations take."""
        areas = shape.areas
        for combination, fill in self._equal.get(areas, ()):
            if combination.uniform or goes_into(combination, shape):
                return fill
        count = shape.count
        if count > self._most:
            return refused("too-many", f"{shape.counted}; at most {self._most} {_are(self._most)} listed")
        if areas[0] > self._largest.area:
            return refused("too-large", f"{shape.parts[0].size}; {self._largest} is the largest listed")
        above, below = -1, self._up_to[count]
        for place, area, shorter in zip(self._places, areas, self._shorter, strict=False):
            above &= place.at_least(area)
            below &= place.at_most(area) | shorter
        if not self._holds(above, goes_into, shape):
            return self._too_large(shape)
        if not self._holds(below, is_filled_by, shape):
            return self._too_little(shape)
        return self._bracketed(shape, self._only(above, goes_into, shape), self._only(below, is_filled_by, shape))

    def _holds(self, some: int, holds: Holds, shape: Shape) -> bool:
        """Say whether some combination of a set holds; those that are not picky do."""
        return bool(some & ~self._picky) or any(holds(self._taking[at], shape) for at in _numbers(some))

    def _only(self, some: int, holds: Holds, shape: Shape) -> int:
        """Leave out of a set the picky combinations that do not hold."""
        for at in _numbers(some & self._picky):
            if not holds(self._taking[at], shape):
                some &= ~(1 << at)
        return some

    def _fits(self, areas: tuple[int, ...], listing: str | None = None, between: tuple[str, str] | None = None) -> Fill:
        ease = comfort(sum(areas), self._least_metal, self._most_metal)
        return Fill("listed" if listing else "bracketed", listing=listing, between=between, comfort=ease)

    def _bracketed(self, shape: Shape, above: int, below: int) -> Fill:
        """Choose the nearest pair of which one has a conductor as small as the joint's smallest."""
        reaching = self._smallest_of.at_most(shape.areas[-1])
        lower, upper = below, above
        if not (reaching & (_highest(below) | _lowest(above))):
            if below & reaching:
                lower = below & reaching
            elif above & reaching:
                upper = above & reaching
            else:
                listed = min(
                    (self._taking[at].entries[-1].size for at in _numbers(above | below)),
                    key=lambda s: s.area,
                )
                smallest = shape.parts[-1].size
                return refused("size-not-taken", f"{smallest}; {listed} is the smallest listed in such a mix")
        nearest = self._taking[lower.bit_length() - 1], self._taking[_lowest(upper).bit_length() - 1]
        return self._fits(shape.areas, between=(nearest[0].text, nearest[1].text))

    def _too_large(self, shape: Shape) -> Fill:
        count, most = self._largest_of[shape.count]
        return refused("too-large", f"{shape.text}; the largest listed of {count} is {most}")

    def _too_little(self, shape: Shape) -> Fill:
        if shape.count < self._fewest:
            return refused("too-few", f"{shape.counted}; at least {self._fewest} {_are(self._fewest)} listed")
        if shape.areas[0] < self._smallest.area:
            return refused("too-small", f"{shape.parts[0].size}; {self._smallest} is the smallest listed")
        count, least = self._least_of[shape.count]
        return refused("too-small", f"{shape.text}; the smallest listed of {count} is {least}")


_Told = dict[int, tuple[str, str]]


def _extremes(taking: Sequence[Combination], most: int) -> tuple[_Told, _Told]:
    """Give, for each number of conductors, the largest listed of that number and the smallest, each with its number.

    Where none of that number is listed, the next higher number stands in for the largest, the next lower for
    the smallest.
    """
    largest = {len(one.areas): one for one in taking}
    smallest = {len(one.areas): one for one in reversed(taking)}
    for count in range(most, 0, -1):
        if count not in largest:
            largest[count] = largest[count + 1]
    for count in range(min(smallest), most + 1):
        if count not in smallest:
            smallest[count] = smallest[count - 1]
    return _told(largest), _told(smallest)


def _told(combinations: Mapping[int, Combination]) -> _Told:
    return {count: (counted(len(one.areas), "conductor"), one.text) for count, one in combinations.items()}


def _numbers(some: int) -> Iterator[int]:
    while some:
        lowest = _lowest(some)
        yield lowest.bit_length() - 1
        some ^= lowest


def _lowest(some: int) -> int:
    return some & -some


def _highest(some: int) -> int:
    return 1 << (some.bit_length() - 1)


def _are(count: int) -> str:
    return "is" if count == 1 else "are"


MOST_KEPT = 256


class CombinationFill:
    """Judges joints by the combinations of one connector, of all its groups together."""

    def __init__(self, combinations: Iterable[Combination]) -> None:
        """Index nothing yet: that is done for the kinds of conductor that joints turn out to have."""
        self._all = sorted(combinations, key=size_order)
        self._picky = any(not one.uniform for one in self._all)
        self._by_kinds: Memo[int | tuple[int, ...], Index | None] = Memo(MOST_KEPT)
        self._by_taking: Memo[tuple[bool, ...], Index] = Memo(MOST_KEPT)

    def __call__(self, shape: Shape) -> Fill | None:
        """Judge a joint. None where no combination takes conductors of its kinds."""
        key = shape.kinds if self._picky else shape.mask
        try:
            index = self._by_kinds[key]
        except KeyError:
            index = self._index(key, shape)
        return index.fill(shape) if index else None

    def _index(self, key: int | tuple[int, ...], shape: Shape) -> Index | None:
        takes = tuple([takes_kinds(one, shape) for one in self._all])
        return self._by_kinds.keep(key, self._of_those(takes) if any(takes) else None)

    def _of_those(self, takes: tuple[bool, ...]) -> Index:
        """Index some of the combinations; joints of many kinds are taken by the same ones."""
        known = self._by_taking.get(takes)
        if known is None:
            known = self._by_taking.keep(takes, Index(list(itertools.compress(self._all, takes))))
        return known
