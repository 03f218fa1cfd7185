"""The fewest types with which every joint can be made, and what each number of types can do at best.

Ties go to the plan that uses fewest connectors of unknown price, then to the one that costs least (where anything is
priced), then to the one in which joints rank best, then to the ids that come first.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from splicewright.job.covers import TooMany, covers
from splicewright.job.mip_models import RankedProgram, TypesProgram
from splicewright.job.solver import Aim, Work, first_by_order
from splicewright.job.stock import Plan, Wanted

_WORK_OF_A_KIND = 8  # to find what the joints of one kind are made with, in the units of `Work`
_FOR_COVERS = 0.25  # of the work that is left
FOR_A_SHORT_WAY = 0.2  # of the work: so much may be spent on proving that there is no tie to break


def fewest_types(wanted: Wanted, work: Work) -> Plan:
    """Give the plan with the fewest types that are not carried already."""
    sets = list(_smallest_sets(wanted))
    start = greedy(wanted, sets)
    plan = _plan(wanted, start, Aim(len(start - wanted.carried), float(bool(sets))), settled=False)
    if wanted.large:
        return plan
    program = TypesProgram(wanted, work)
    program.cover(sets)
    program.start(_as_values(program, start))
    found = program.solve(program.added)
    if found is None:
        return plan
    types = program.types(found)
    aim = Aim(len(set(types) - wanted.carried), found.bound)
    plan = _plan(wanted, types, aim, settled=False)
    if not aim.proven:
        return plan
    best = _best_cover(wanted, sets, aim, work)
    return _cheapest_and_best(wanted, work, plan) if best is None else best


def best_ranked(wanted: Wanted, most: int, work: Work) -> Plan | None:
    """Give the plan with at most so many added types in which joints rank best; fewer types where they do as well."""
    return _best_within(wanted, most, work, priced=False)


def cheapest_ranked(wanted: Wanted, most: int, work: Work) -> Plan | None:
    """Give the plan with at most so many added types that costs least, joints taking the best they can."""
    return _best_within(wanted, most, work, priced=True)


def _best_within(wanted: Wanted, most: int, work: Work, *, priced: bool) -> Plan | None:
    def within() -> RankedProgram:
        program = RankedProgram(wanted, work, priced=priced)
        program.row(program.added.items(), most=most)
        return program

    def aimed_at(program: RankedProgram) -> dict[int, float]:
        return program.cost if priced else program.ranks

    program = within()
    found = program.solve(aimed_at(program))
    if found is None:
        return None
    types = program.types(found)
    aim = Aim((_cost if priced else _ranks)(wanted, types), found.bound)
    if not aim.proven:
        return _plan(wanted, types, aim, settled=False)
    used = used_of(wanted, types)
    if program.is_only(used, aimed_at(program), aim.value, FOR_A_SHORT_WAY):
        return _plan(wanted, used, aim, settled=True)
    program = within()
    program.start(found.values)
    return _few_and_in_order(program, wanted, types, aim, aimed_at(program))


def used_of(wanted: Wanted, types: Iterable[int]) -> frozenset[int]:
    """Give the carried types, and those of others that joints are made with if each takes the best that it can."""
    return wanted.carried.union(wanted.counts(wanted.best_ranked(types)))


def _few_and_in_order(
    program: RankedProgram, wanted: Wanted, types: tuple[int, ...], aim: Aim, weights: dict[int, float]
) -> Plan:
    program.at_most(weights, aim.value)
    few = program.solve(program.added)
    if few is not None:
        count = len(set(program.types(few)) - wanted.carried)
        program.at_most(program.added, count)
        ordered = first_by_order(program, program.in_order) if Aim(count, few.bound).proven else None
        if ordered is not None:
            return _plan(wanted, program.types(ordered), aim, settled=True)
    return _plan(wanted, types, aim, settled=False)


def _best_cover(wanted: Wanted, sets: list[tuple[int, ...]], aim: Aim, work: Work) -> Plan | None:
    """Give the plan as `_cheapest_and_best` does, by looking at all there are; None where those are too many."""
    each = _WORK_OF_A_KIND * len(wanted.kinds)
    try:
        found = list(covers(sets, aim.value, round(_FOR_COVERS * work.left / each)))
    except TooMany:
        found = []
    if not found or not work.pay(each * len(found)):
        return None

    def worth(types: frozenset[int]) -> tuple[int, int, int, list[int]]:
        shares = wanted.best_ranked(types | wanted.carried)
        counts = wanted.counts(shares) if wanted.prices else {}
        unpriced = sum(n for one, n in counts.items() if one in wanted.unpriced)
        return (unpriced, wanted.cost(counts), wanted.ranks(shares), sorted(types))

    return _plan(wanted, min(found, key=worth) | wanted.carried, aim, settled=True)


def _cheapest_and_best(wanted: Wanted, work: Work, plan: Plan) -> Plan:
    """Of all plans with as few types give that with least unknown prices, least cost, best ranks, first ids.

    Where the work is used up, give the best that was found by then.
    """
    program = RankedProgram(wanted, work, priced=bool(wanted.prices))
    program.at_most(program.added, plan.aim.value)
    unpriced = program.unpriced if wanted.prices else {}
    for weights, value in ((unpriced, _unpriced), (program.cost, _cost), (program.ranks, _ranks)):
        if not weights:
            continue
        found = program.solve(weights)
        if found is None:
            return plan
        plan = _plan(wanted, program.types(found), plan.aim, settled=False)
        aim = Aim(value(wanted, plan.types), found.bound)
        if not aim.proven:
            return plan
        program.at_most(weights, aim.value)
    ordered = first_by_order(program, program.in_order)
    return plan if ordered is None else _plan(wanted, program.types(ordered), plan.aim, settled=True)


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
    sets = sorted((one for one in wanted.sets if wanted.carried.isdisjoint(one)), key=len)
    if wanted.large:
        yield from sets
        return
    kept: list[frozenset[int]] = []
    for one in sets:
        if not any(smaller.issubset(one) for smaller in kept):
            kept.append(frozenset(one))
            yield one


def greedy(wanted: Wanted, sets: list[tuple[int, ...]]) -> frozenset[int]:
    """Give types that cover all sets, the one that covers most each time: somewhere to begin."""
    having: dict[int, list[int]] = {}
    for at, options in enumerate(sets):
        for one in options:
            having.setdefault(one, []).append(at)
    covers = {one: len(some) for one, some in sorted(having.items())}
    left, held = set(range(len(sets))), set(wanted.carried)
    while left:
        best = max(covers, key=covers.__getitem__)
        held.add(best)
        for at in left.intersection(having[best]):
            left.remove(at)
            for one in sets[at]:
                covers[one] -= 1
    return frozenset(held)


def _as_values(program: TypesProgram, types: frozenset[int]) -> list[float]:
    return [float(one in types) for one in range(len(program.flags))]
