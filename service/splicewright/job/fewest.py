"""The fewest types with which every joint can be made, and what each number of types can do at best.

Ties go to the plan that uses fewest connectors of unknown price, then to the one that costs least (where anything is
priced), then to the one in which joints rank best, then to the ids that come first.
"""

from __future__ import annotations

from collections.abc import Iterator

from splicewright.job.mip_models import RankedProgram, TypesProgram
from splicewright.job.solver import Aim, Clock, first_by_order
from splicewright.job.stock import Plan, Wanted


def fewest_types(wanted: Wanted, clock: Clock) -> Plan:
    """Give the plan with the fewest types that are not carried already."""
    sets = list(_smallest_sets(wanted))
    program = TypesProgram(wanted, clock)
    program.cover(sets)
    start = greedy(wanted, sets)
    program.start(_as_values(program, start))
    found = program.solve(program.added)
    if found is None:
        return _plan(wanted, start, Aim(len(start - wanted.carried), float(bool(sets))), settled=False)
    types = program.types(found)
    aim = Aim(len(set(types) - wanted.carried), found.bound)
    if not aim.proven:
        return _plan(wanted, types, aim, settled=False)
    program = RankedProgram(wanted, clock, priced=bool(wanted.prices))
    settled = _cheapest_and_best(program, aim.value)
    ordered = first_by_order(program, program.in_order) if settled else None
    return _plan(wanted, program.types(ordered) if ordered else types, aim, settled=ordered is not None)


def best_ranked(wanted: Wanted, most: int, clock: Clock) -> Plan | None:
    """Give the plan with at most so many added types in which joints rank best; fewer types where they do as well."""
    program = RankedProgram(wanted, clock, priced=False)
    program.row(program.added.items(), most=most)
    found = program.solve(program.ranks)
    if found is None:
        return None
    types = program.types(found)
    aim = Aim(wanted.ranks(wanted.best_ranked(types)), found.bound)
    return _few_and_in_order(program, wanted, types, aim, program.ranks)


def cheapest_ranked(wanted: Wanted, most: int, clock: Clock) -> Plan | None:
    """Give the plan with at most so many added types that costs least, joints taking the best they can."""
    program = RankedProgram(wanted, clock, priced=True)
    program.row(program.added.items(), most=most)
    found = program.solve(program.cost)
    if found is None:
        return None
    types = program.types(found)
    aim = Aim(wanted.cost(wanted.counts(wanted.best_ranked(types))), found.bound)
    return _few_and_in_order(program, wanted, types, aim, program.cost)


def _few_and_in_order(
    program: RankedProgram, wanted: Wanted, types: tuple[int, ...], aim: Aim, weights: dict[int, float]
) -> Plan:
    if aim.proven:
        program.at_most(weights, aim.value)
        few = program.solve(program.added)
        if few is not None:
            count = len(set(program.types(few)) - wanted.carried)
            program.at_most(program.added, count)
            ordered = first_by_order(program, program.in_order) if Aim(count, few.bound).proven else None
            if ordered is not None:
                return _plan(wanted, program.types(ordered), aim, settled=True)
    return _plan(wanted, types, aim, settled=False)


def _cheapest_and_best(program: RankedProgram, added: int) -> bool:
    """Hold a program at so many added types, least unknown prices, least cost and best ranks, if each is proven."""
    wanted = program.wanted
    program.at_most(program.added, added)
    unpriced = program.unpriced if wanted.prices else {}
    for weights, value in ((unpriced, _unpriced), (program.cost, _cost), (program.ranks, _ranks)):
        if not weights:
            continue
        found = program.solve(weights)
        if found is None:
            return False
        aim = Aim(value(wanted, program.types(found)), found.bound)
        if not aim.proven:
            return False
        program.at_most(weights, aim.value)
    return True


def _unpriced(wanted: Wanted, types: tuple[int, ...]) -> int:
    counts = wanted.counts(wanted.best_ranked(types))
    return sum(n for one, n in counts.items() if one in wanted.unpriced)


def _cost(wanted: Wanted, types: tuple[int, ...]) -> int:
    return wanted.cost(wanted.counts(wanted.best_ranked(types)))


def _ranks(wanted: Wanted, types: tuple[int, ...]) -> int:
    return wanted.ranks(wanted.best_ranked(types))


def _plan(wanted: Wanted, types: Iterator[int] | frozenset[int] | tuple[int, ...], aim: Aim, *, settled: bool) -> Plan:
    held = tuple(sorted(types))
    return Plan(held, tuple(wanted.best_ranked(held)), aim, settled)


def _smallest_sets(wanted: Wanted) -> Iterator[tuple[int, ...]]:
    """Give the sets of options that no carried type is of, but for those that hold a whole smaller one."""
    sets = sorted((set(one) for one in wanted.sets if wanted.carried.isdisjoint(one)), key=len)
    kept: list[set[int]] = []
    for one in sets:
        if not any(smaller <= one for smaller in kept):
            kept.append(one)
            yield tuple(sorted(one))


def greedy(wanted: Wanted, sets: list[tuple[int, ...]]) -> frozenset[int]:
    """Give types that cover all sets, the one that covers most each time: somewhere to begin."""
    left = [set(one) for one in sets]
    held = set(wanted.carried)
    while left:
        best = max(wanted.addable, key=lambda one: sum(one in some for some in left))
        held.add(best)
        left = [some for some in left if best not in some]
    return frozenset(held)


def _as_values(program: TypesProgram, types: frozenset[int]) -> list[float]:
    return [float(one in types) for one in range(len(program.flags))]
