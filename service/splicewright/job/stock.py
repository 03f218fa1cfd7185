"""What a stock plan is made for, and what it comes to, in whole numbers."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property

from splicewright.job.model import LEAST_COST, SPARE_STEPS, Price, Stock
from splicewright.job.solver import Aim


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
    usable: frozenset[str] | None = None  # None: every connector

    def may_use(self, connector: str) -> bool:
        """Say whether a connector is looked at."""
        return self.usable is None or connector in self.usable

    @cached_property
    def addable(self) -> tuple[int, ...]:
        """The types that are not carried."""
        return tuple(one for one in range(len(self.types)) if one not in self.carried)

    @cached_property
    def unpriced(self) -> frozenset[int]:
        """The types that are neither priced nor carried. What is carried without a price is paid for."""
        return frozenset(one for one in self.addable if one not in self.prices)

    @cached_property
    def outdone(self) -> frozenset[int]:
        """The types that are in no plan of least cost: another can make all that they can, for less in any number."""
        users = [frozenset(at for at, kind in enumerate(self.kinds) if place in kind.options) for place in self._places]
        return frozenset(
            place
            for place in self._places
            if any(users[place] <= users[other] and self._outdoes(other, place) for other in self._places)
        )

    @cached_property
    def _places(self) -> range:
        return range(len(self.types))

    def _outdoes(self, one: int, other: int) -> bool:
        """Say whether a type costs less than another in any number, and is carried if the other is."""
        if one not in self.carried and (other in self.carried or one not in self.prices):
            return False
        mine, its = self.prices.get(one, Price(0)), self.prices.get(other, Price(0))
        # Packs that divide the other's leave no more over.
        return its.of % mine.of == 0 and mine.amount * its.of < its.amount * mine.of

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
        found: Counter[int] = Counter()
        for share in shares:
            found.update(share)
        return dict(found)

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

    For least cost only what is priced or carried is looked at; a joint without such an option is left out.
    """
    usable = frozenset((*stock.prices, *stock.carry)) if stock.aim == LEAST_COST else None
    found: Counter[tuple[str, ...]] = Counter()
    for ids, count in ranked:
        kept = tuple(rule_id for rule_id in ids if usable is None or rule_id in usable)
        if kept:
            found[kept] += count
    types = tuple(sorted({rule_id for ids in found for rule_id in ids} | set(stock.carry)))
    place = {one: at for at, one in enumerate(types)}
    return Wanted(
        types,
        tuple(Kind(tuple(place[rule_id] for rule_id in ids), count) for ids, count in sorted(found.items())),
        frozenset(place[one] for one in stock.carry),
        {place[one]: price for one, price in stock.prices.items() if one in place},
        stock.spare,
        usable,
    )


@dataclass(frozen=True, slots=True)
class Plan:
    """Types to carry, and how many joints of each kind are made with which. `aim` is what was asked for first."""

    types: tuple[int, ...]
    shares: tuple[Mapping[int, int], ...]
    aim: Aim
    settled: bool = True  # every tie was broken in order
    cost: int | None = None  # in units; where the joints were not shared out
