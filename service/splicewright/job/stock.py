"""What a stock plan is made for, and what it comes to, in whole numbers."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property

from splicewright.job.model import LEAST_COST, SPARE_STEPS, Price, Stock
from splicewright.job.solver import Aim

MOST_SOLVED = 30_000
_SURELY = 1 - 1e-9  # less than what adding floating point numbers may gain


@dataclass(frozen=True, slots=True)
class Kind:
    """Joints with the same options in the same order: places of types, best first, and how many joints."""

    options: tuple[int, ...]
    count: int


@dataclass(frozen=True, slots=True)
class Bought:
    """What is bought of one type: `count` to be used, `spare`, whole `packs` of `of`. `cost` is in money steps."""

    count: int
    spare: int
    packs: int | None = None
    of: int = 1
    cost: int | None = None


def bought(count: int, spare: int, price: Price | None) -> Bought:
    """Reckon what is bought of one type. Spares (in tenths of a percent) are rounded up, packs are whole."""
    spares = -(-count * spare // SPARE_STEPS)
    if price is None:
        return Bought(count, spares)
    packs = -(-(count + spares) // price.of)
    return Bought(count, spares, packs, price.of, packs * price.amount)


@dataclass(frozen=True)
class Wanted:
    """A stock to plan. `types` are connector ids in order; everything else names a type by its place in them."""

    types: tuple[str, ...]
    kinds: tuple[Kind, ...]
    carried: frozenset[int] = frozenset()
    prices: Mapping[int, Price] = field(default_factory=dict)
    spare: int = 0
    #: Whose connectors are looked at, the first that a joint has an option of; empty: all connectors.
    looked_at: tuple[frozenset[str], ...] = ()

    def usable(self, ranked: Iterable[str]) -> tuple[str, ...]:
        """Give those of a joint's options that are looked at, in their order."""
        return _usable(tuple(ranked), self.looked_at)

    def names(self, kind: Kind) -> tuple[str, ...]:
        """Give the options of a kind by their connector ids: what is usable of those of its joints."""
        return tuple(self.types[one] for one in kind.options)

    @cached_property
    def addable(self) -> tuple[int, ...]:
        """The types that are not carried."""
        return tuple(one for one in range(len(self.types)) if one not in self.carried)

    @cached_property
    def unpriced(self) -> frozenset[int]:
        """The types without a price. Of those that are carried too nobody knows that they cost nothing."""
        return frozenset(one for one in range(len(self.types)) if one not in self.prices)

    @cached_property
    def outdone(self) -> frozenset[int]:
        """The types that are in no plan of least cost: another can make all that they can, for less in any number."""
        alike: dict[int, int] = {}  # by type, as bits: the types that can make all that it can
        for options in self.sets:
            bits = sum(1 << one for one in options)
            for one in options:
                alike[one] = alike.get(one, bits) & bits
        return frozenset(
            one
            for one, bits in alike.items()
            if any(bits >> other & 1 and self._outdoes(other, one) for other in self._by_piece)
        )

    @cached_property
    def _by_piece(self) -> list[int]:
        return sorted(self.prices, key=lambda one: (self.each(one), one))

    def each(self, one: int) -> float:
        """Give what one connector of a type comes to, in units, spares among them, where packs could be divided."""
        price = self.prices.get(one)
        return price.amount / price.of / self.unit * (1 + self.spare / SPARE_STEPS) if price else 0.0

    def _outdoes(self, one: int, other: int) -> bool:
        """Say whether a type costs less than another in any number, and is carried if the other is."""
        if other not in self.prices or (other in self.carried and one not in self.carried):
            return False
        mine, its = self.prices[one], self.prices[other]
        # Packs that divide the other's leave no more over.
        return its.of % mine.of == 0 and mine.amount * its.of < its.amount * mine.of

    @cached_property
    def cost_sets(self) -> dict[tuple[int, ...], int]:
        """How many joints there are for each set of options, without the types that are in no plan of least cost."""
        found: Counter[tuple[int, ...]] = Counter()
        for options, count in self.sets.items():
            found[self.undone(options)] += count
        return dict(found)

    def undone(self, options: Iterable[int]) -> tuple[int, ...]:
        """Give the types, in order, that may be in a plan of least cost."""
        return tuple(sorted(one for one in options if one not in self.outdone))

    @cached_property
    def by_piece(self) -> list[dict[int, int]]:
        """Give each of the `cost_sets` the type that costs least by the piece."""
        return [{min(one, key=lambda at: (self.each(at), at)): count} for one, count in self.cost_sets.items()]

    @cached_property
    def least(self) -> float:
        """What no plan can cost less than, in units: as if packs could be divided."""
        least = sum(self.each(one) * count for share in self.by_piece for one, count in share.items())
        return math.ceil(least * _SURELY)

    @cached_property
    def large(self) -> bool:
        """Whether it has so many options, of all kinds together, that no program is made of it."""
        return sum(len(kind.options) for kind in self.kinds) > MOST_SOLVED

    @cached_property
    def sets(self) -> dict[tuple[int, ...], int]:
        """How many joints there are for each set of options, whatever their order."""
        found: Counter[tuple[int, ...]] = Counter()
        for kind in self.kinds:
            found[tuple(sorted(kind.options))] += kind.count
        return dict(sorted(found.items()))

    @cached_property
    def joints(self) -> int:
        """How many joints there are in all."""
        return sum(kind.count for kind in self.kinds)

    @cached_property
    def unit(self) -> int:
        """The money steps that every amount is a whole number of: plans are reckoned in these."""
        return math.gcd(*(price.amount for price in self.prices.values())) or 1

    @cached_property
    def alone(self) -> dict[int, int]:
        """How many joints each type could make alone."""
        found: Counter[int] = Counter(dict.fromkeys(range(len(self.types)), 0))
        for options, count in self.sets.items():
            for one in options:
                found[one] += count
        return dict(found)

    def covers(self, types: Iterable[int]) -> int:
        """Count the joints that can be made with some of these types."""
        held = set(types)
        return sum(kind.count for kind in self.kinds if not held.isdisjoint(kind.options))

    def best_ranked(self, types: Iterable[int]) -> list[dict[int, int]]:
        """Give each kind all of its joints with its best option among these types; nothing where it has none."""
        held = set(types)
        first = [next((option for option in kind.options if option in held), None) for kind in self.kinds]
        return [{} if one is None else {one: kind.count} for one, kind in zip(first, self.kinds, strict=True)]

    def counts(self, shares: Sequence[Mapping[int, int]]) -> dict[int, int]:
        """Count the joints made with each type."""
        found: dict[int, int] = {}
        for share in shares:
            for one, n in share.items():
                found[one] = found.get(one, 0) + n
        return found

    def cost(self, counts: Mapping[int, int]) -> int:
        """Reckon what so many of each type cost, in units; those without a price cost nothing."""
        return sum(bought(n, self.spare, self.prices.get(one)).cost or 0 for one, n in counts.items()) // self.unit

    def ranks(self, shares: Sequence[Mapping[int, int]]) -> int:
        """Add up the ranks (from 0) of what the joints are made with."""
        return sum(
            kind.options.index(one) * n
            for kind, share in zip(self.kinds, shares, strict=True)
            for one, n in share.items()
        )


def wanted(ranked: Iterable[tuple[tuple[str, ...], int]], stock: Stock) -> Wanted:
    """Make what is wanted of joints given as (connector ids, best first; how many).

    For least cost a joint's options with a price are looked at or, where it has none, those that are carried: what they
    cost is not known, so none is taken in place of a known price. A joint without either is left out.
    """
    looked_at = (frozenset(stock.prices), frozenset(stock.carry)) if stock.aim == LEAST_COST else ()
    found: Counter[tuple[str, ...]] = Counter()
    for ids, count in ranked:
        if kept := _usable(ids, looked_at):
            found[kept] += count
    types = tuple(sorted({rule_id for ids in found for rule_id in ids} | set(stock.carry)))
    place = {one: at for at, one in enumerate(types)}
    return Wanted(
        types,
        tuple(Kind(tuple(place[rule_id] for rule_id in ids), count) for ids, count in sorted(found.items())),
        frozenset(place[one] for one in stock.carry),
        {place[one]: price for one, price in stock.prices.items() if one in place},
        stock.spare,
        looked_at,
    )


def _usable(ranked: tuple[str, ...], looked_at: tuple[frozenset[str], ...]) -> tuple[str, ...]:
    for some in looked_at:
        if kept := tuple([one for one in ranked if one in some]):
            return kept
    return () if looked_at else ranked


@dataclass(frozen=True, slots=True)
class Plan:
    """Types to carry, and how many joints of each kind are made with which. `aim` is what was asked for first."""

    types: tuple[int, ...]
    shares: tuple[Mapping[int, int], ...]
    aim: Aim
    settled: bool = True  # every tie was broken in order
    cost: int | None = None  # in units; where the joints were not shared out
