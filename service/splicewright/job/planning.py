"""The stock plan with its alternatives: the best with one type fewer, and the best with one more."""

from __future__ import annotations

from dataclasses import dataclass

from splicewright.job.cheapest import least_cost, least_cost_within
from splicewright.job.fewest import best_ranked, cheapest_ranked, fewest_types
from splicewright.job.mip_models import RankedProgram, TypesProgram
from splicewright.job.model import LEAST_COST
from splicewright.job.solver import Aim, Clock, first_by_order
from splicewright.job.stock import Plan, Wanted

_FOR_THE_PLAN = 0.7  # of the time, so that some is left for the alternatives


@dataclass(frozen=True, slots=True)
class Planned:
    """A stock plan. `fewer` and `more` are None where there is no such plan; `improves`: rank or cost."""

    wanted: Wanted
    plan: Plan
    fewer: Plan | None
    more: Plan | None
    improves: str = ""


def plan_stock(wanted: Wanted, aim: str, seconds: float) -> Planned:
    """Plan a stock within so many seconds in all. Where they run out, plans say what is not proven."""
    if not wanted.kinds:
        return Planned(wanted, Plan(tuple(sorted(wanted.carried)), (), Aim(0, 0)), None, None)
    whole = Clock(seconds)
    clock = Clock(seconds * _FOR_THE_PLAN)
    plan = least_cost(wanted, clock) if aim == LEAST_COST else fewest_types(wanted, clock)
    added = len(set(plan.types) - wanted.carried)
    more, improves = _more(wanted, aim, plan, added + 1, whole)
    fewer = _fewer(wanted, aim, added - 1, whole) if len(plan.types) > 1 and added else None
    return Planned(wanted, plan, fewer, more, improves)


def _fewer(wanted: Wanted, aim: str, most: int, clock: Clock) -> Plan | None:
    """Cover as many joints as can be with so many added types.

    Ties go to cost where that is the aim, otherwise to the best ranks, then to ids.
    """
    program = TypesProgram(wanted, clock)
    program.row(program.added.items(), most=most)
    weights: dict[int, float] = {}
    for options, count in wanted.sets.items():
        if wanted.carried.isdisjoint(options):
            covered = program.column(1)
            weights[covered] = float(count)
            program.row([(covered, 1), *((program.flags[option], -1) for option in options)], most=0)
    found = program.solve(weights, most=True)
    if found is None:
        return None
    already = wanted.covers(wanted.carried)
    types = program.types(found)
    covers = wanted.covers(types)
    reached = Aim(covers, found.bound + already)
    if not reached.proven:
        return _left(wanted, types, reached, settled=False)
    if aim == LEAST_COST:
        within = least_cost_within(wanted, most, wanted.joints - covers, clock)
        return _left(wanted, types, reached, settled=False) if within is None else within
    ranked = RankedProgram(wanted, clock, priced=False, left=True)
    ranked.row(ranked.added.items(), most=most)
    ranked.at_most(ranked.left, wanted.joints - covers)
    ordered = first_by_order(ranked, ranked.in_order) if _at_best(ranked) else None
    return _left(wanted, ranked.types(ordered) if ordered else types, reached, settled=ordered is not None)


def _at_best(program: RankedProgram) -> bool:
    """Hold a program at its best ranks, if they are proven."""
    found = program.solve(program.ranks)
    if found is None:
        return False
    ranks = Aim(program.wanted.ranks(program.wanted.best_ranked(program.types(found))), found.bound)
    program.at_most(program.ranks, ranks.value)
    return ranks.proven


def _left(wanted: Wanted, types: tuple[int, ...], reached: Aim, *, settled: bool) -> Plan:
    return Plan(types, tuple(wanted.best_ranked(types)), reached, settled)


def _more(wanted: Wanted, aim: str, plan: Plan, most: int, clock: Clock) -> tuple[Plan | None, str]:
    """Give the plan with one type more that costs less or, where none does, in which joints rank better."""
    if aim != LEAST_COST and wanted.prices and not wanted.unpriced:
        cheaper = cheapest_ranked(wanted, most, clock)
        if cheaper is not None and _adds(wanted, cheaper) == most and _cost(wanted, cheaper) < _cost(wanted, plan):
            return cheaper, "cost"
    better = best_ranked(wanted, most, clock)
    if better is None or _adds(wanted, better) != most or wanted.ranks(better.shares) >= wanted.ranks(plan.shares):
        return None, ""
    return better, "rank"


def _adds(wanted: Wanted, plan: Plan) -> int:
    return len(set(plan.types) - wanted.carried)


def _cost(wanted: Wanted, plan: Plan) -> int:
    return wanted.cost(wanted.counts(plan.shares))
