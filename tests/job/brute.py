"""Stock plans found by trying everything: every set of types, every way to share joints out."""

from __future__ import annotations

import itertools
import random
from collections.abc import Iterator

from splicewright.job.model import FEWEST_TYPES, LEAST_COST, Price, Stock
from splicewright.job.stock import Wanted, wanted

Shares = tuple[dict[int, int], ...]


def small_stock(rng: random.Random, aim: str) -> Wanted:
    """Give a small stock to plan: up to five types, five kinds of joints, and few enough joints to share out."""
    ids = [f"type-{letter}" for letter in "abcde"[: rng.randint(2, 5)]]
    most = 6 if aim == FEWEST_TYPES else 3
    ranked = []
    for _ in range(rng.randint(1, 5 if aim == FEWEST_TYPES else 3)):
        options = rng.sample(ids, rng.randint(1, len(ids)))
        ranked.append((tuple(options), rng.randint(1, most)))
    priced = ids if aim == LEAST_COST and rng.random() < 0.6 else rng.sample(ids, rng.randint(0, len(ids)))
    carry = tuple(rng.sample(ids, rng.choice([0, 0, 1, 2])))
    prices = {one: _price(rng) for one in sorted(priced)}
    if aim == LEAST_COST and not prices:
        prices = {ids[0]: _price(rng)}
    return wanted(ranked, Stock(carry, aim, prices, rng.choice([0, 0, 100, 333])))


def _price(rng: random.Random) -> Price:
    # Few different amounts, so that ties are common.
    return (
        Price(rng.choice([0, 1000, 1200, 2000]))
        if rng.random() < 0.5
        else Price(rng.choice([2000, 3000, 4500]), rng.choice([2, 3, 5]))
    )


def costs(wanted: Wanted, counts: dict[int, int]) -> int:
    """Reckon the cost in money steps, without the planner's own arithmetic."""
    cost = 0
    for one, count in counts.items():
        spares = 0
        while spares * 1000 < count * wanted.spare:
            spares += 1
        price, packs = wanted.prices.get(one), 0
        while price and packs * price.of < count + spares:
            packs += 1
        cost += packs * price.amount if price else 0
    return cost


def all_types(wanted: Wanted) -> Iterator[tuple[int, ...]]:
    """Give every set of types with the carried ones in it."""
    free = [one for one in range(len(wanted.types)) if one not in wanted.carried]
    for size in range(len(free) + 1):
        for some in itertools.combinations(free, size):
            yield tuple(sorted((*some, *wanted.carried)))


def best_of(wanted: Wanted, types: tuple[int, ...]) -> Shares:
    """Give each kind to the best of its options among these types; nothing where there is none."""
    return tuple(
        next(({option: kind.count} for option in kind.options if option in types), {}) for kind in wanted.kinds
    )


def counted(shares: Shares) -> dict[int, int]:
    found: dict[int, int] = {}
    for share in shares:
        for one, count in share.items():
            found[one] = found.get(one, 0) + count
    return found


def ranks_of(wanted: Wanted, shares: Shares) -> int:
    return sum(
        kind.options.index(one) * count
        for kind, share in zip(wanted.kinds, shares, strict=True)
        for one, count in share.items()
    )


def fewest(wanted: Wanted) -> tuple[int, ...]:
    """Give the types: fewest added, fewest of unknown price, least cost, best ranks, first by id."""

    def key(types: tuple[int, ...]) -> tuple[object, ...]:
        shares = best_of(wanted, types)
        counts = counted(shares)
        unknown = sum(n for one, n in counts.items() if one not in wanted.prices)
        cost = (unknown, costs(wanted, counts)) if wanted.prices else ()
        added = [one for one in types if one not in wanted.carried]
        return (len(added), *cost, ranks_of(wanted, shares), added)

    return min((one for one in all_types(wanted) if all(best_of(wanted, one))), key=key)


def sharings(wanted: Wanted) -> Iterator[Shares]:
    """Give every way to share the joints out, one by one."""
    return itertools.product(*(list(_splits(kind.options, kind.count)) for kind in wanted.kinds))


def _splits(options: tuple[int, ...], count: int) -> Iterator[dict[int, int]]:
    for some in itertools.combinations_with_replacement(options, count):
        yield {fromkey: some.count(fromkey) for fromkey in dict.fromkeys(some)}


def cheapest(wanted: Wanted) -> tuple[int, tuple[int, ...], Shares]:
    """Give least cost, types, shares: least cost, fewest added, first ids, best ranks, most of the first ids, kinds."""

    def key(shares: Shares) -> tuple[object, ...]:
        counts = counted(shares)
        added = sorted(count for count in counts if count not in wanted.carried)
        ranks = ranks_of(wanted, shares)
        amounts = [-counts.get(one, 0) for one in range(len(wanted.types))]
        order = [
            [-share.get(option, 0) for option in kind.options] for kind, share in zip(wanted.kinds, shares, strict=True)
        ]
        return (costs(wanted, counts), len(added), added, ranks, amounts, order)

    best = min(sharings(wanted), key=key)
    return costs(wanted, counted(best)), tuple(sorted({*counted(best), *wanted.carried})), best


def most_covered(wanted: Wanted, most: int) -> int:
    """Give how many joints so many added types can cover at most."""
    return max(
        sum(kind.count for kind, share in zip(wanted.kinds, best_of(wanted, one), strict=True) if share)
        for one in all_types(wanted)
        if len(set(one) - wanted.carried) <= most
    )


def first_of_most_covered(wanted: Wanted, most: int) -> tuple[int, ...]:
    """Give the types that cover as many joints as so many added types can: fewest, best ranked, first by id."""
    covered = most_covered(wanted, most)
    found = [
        sorted(set(one) - wanted.carried)
        for one in all_types(wanted)
        if len(set(one) - wanted.carried) <= most
        and sum(k.count for k, s in zip(wanted.kinds, best_of(wanted, one), strict=True) if s) == covered
    ]

    def key(added: list[int]) -> tuple[object, ...]:
        return (len(added), ranks_of(wanted, best_of(wanted, tuple(sorted((*added, *wanted.carried))))), added)

    return tuple(sorted((*min(found, key=key), *wanted.carried)))


def cheapest_of_most_covered(wanted: Wanted, most: int) -> tuple[int, tuple[int, ...]]:
    """Give least cost and types that cover as many joints as so many added types can."""
    covered = most_covered(wanted, most)
    best: tuple[object, ...] | None = None
    for types in all_types(wanted):
        if len(set(types) - wanted.carried) > most:
            continue
        kept = [kind for kind in wanted.kinds if set(kind.options) & set(types)]
        if sum(kind.count for kind in kept) < covered:
            continue
        ways = [list(_splits(tuple(option for option in kind.options if option in types), kind.count)) for kind in kept]
        for shares in itertools.product(*ways):
            counts = counted(shares)
            added = sorted(set(counts) - wanted.carried)
            key = (costs(wanted, counts), len(added), added)
            best = key if best is None or key < best else best
    assert best is not None
    return best[0], tuple(sorted((*best[2], *wanted.carried)))  # type: ignore[misc,return-value]


def best_ranks(wanted: Wanted, most: int) -> tuple[int, tuple[int, ...]]:
    """Give the least sum of ranks with so many added types, and the fewest, first types that reach it."""

    def key(types: tuple[int, ...]) -> tuple[object, ...]:
        added = [one for one in types if one not in wanted.carried]
        return (ranks_of(wanted, best_of(wanted, types)), len(added), added)

    whole = (one for one in all_types(wanted) if all(best_of(wanted, one)))
    best = min((one for one in whole if len(set(one) - wanted.carried) <= most), key=key)
    return ranks_of(wanted, best_of(wanted, best)), best


def least_ranked_cost(wanted: Wanted, most: int) -> int:
    """Give the least cost with so many added types, every joint taking the best it can."""
    whole = (one for one in all_types(wanted) if all(best_of(wanted, one)))
    return min(costs(wanted, counted(best_of(wanted, one))) for one in whole if len(set(one) - wanted.carried) <= most)
