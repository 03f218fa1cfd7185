"""The stock plan with its alternatives: the best with one type fewer, and the best with one more."""

from __future__ import annotations

from dataclasses import dataclass, replace

from splicewright.job.cheapest import least_cost, least_cost_within
from splicewright.job.fewest import FOR_A_SHORT_WAY, best_ranked, cheapest_ranked, fewest_types, used_of
from splicewright.job.mip_models import RankedProgram, TypesProgram
from splicewright.job.model import LEAST_COST
from splicewright.job.solver import Aim, Work, first_by_order
from splicewright.job.stock import Plan, Wanted
from splicewright.work import Watch, unwatched

WORK = 6_000_000  # for an effort of 1: two seconds of a processor, or near it (`tests/job/work.py`)
_FOR_ALTERNATIVES = 0.3  # of the work, kept while the plan is made
_FOR_MORE = 0.1


@dataclass(frozen=True, slots=True)
class Planned:
    """A stock plan. `fewer` and `more` are None where there is no such plan; `improves`: rank or cost.

    `unsearched` names those of which the work left does not tell whether there is one.
    """

    wanted: Wanted
    plan: Plan
    fewer: Plan | None = None
    more: Plan | None = None
    improves: str = ""
    unsearched: tuple[str, ...] = ()


def plan_stock(wanted: Wanted, aim: str, work: int, watch: Watch = unwatched) -> Planned:
    """Plan a stock with so much work in all, counted as in `solver.py`. Where it is used up, plans say so."""
    if not wanted.kinds:
        return Planned(wanted, Plan(tuple(sorted(wanted.carried)), (), Aim(0, 0)))
    left = Work(work, watch)
    with left.keeping(_FOR_ALTERNATIVES):
        plan = least_cost(wanted, left) if aim == LEAST_COST else fewest_types(wanted, left)
    unsearched = []
    fewer = None
    if len(plan.types) > 1 and (added := _adds(wanted, plan)):
        with left.keeping(_FOR_MORE):
            fewer = most_covered(wanted, aim, added - 1, left)
        if fewer is None or _is_no_dearer(wanted, fewer, plan):
            # A plan that is not proven gives way to a cheaper one; none was sought with fewer types than that has.
            plan = plan if fewer is None else _in_place_of(wanted, plan, fewer)
            fewer = None
            unsearched.append("fewer")
    more, improves = _more(wanted, aim, plan, _adds(wanted, plan) + 1, left)
    if more is None and improves:
        unsearched.append("more")
    if fewer is not None and aim == LEAST_COST:
        fewer = replace(fewer, shares=())  # joints are shared out by rank in the plan alone
    return Planned(wanted, plan, fewer, more, improves, tuple(unsearched))


def _is_no_dearer(wanted: Wanted, fewer: Plan, plan: Plan) -> bool:
    return bool(fewer.shares) and fewer.cost is not None and fewer.cost <= _cost(wanted, plan)


def _in_place_of(wanted: Wanted, plan: Plan, fewer: Plan) -> Plan:
    return Plan(fewer.types, fewer.shares, Aim(_cost(wanted, fewer), plan.aim.bound), settled=False)


def most_covered(wanted: Wanted, aim: str, most: int, work: Work) -> Plan | None:
    """Give the plan that covers as many joints as can be with so many added types; None where the work is too little.

    Ties go to cost where that is the aim, otherwise to the best ranks, then to ids.
    """
    if wanted.large:
        return None
    program = TypesProgram(wanted, work)
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
        return least_cost_within(wanted, most, wanted.joints - covers, work)
    return _fewer_best_ranked(wanted, most, types, reached, work)


def _fewer_best_ranked(wanted: Wanted, most: int, types: tuple[int, ...], reached: Aim, work: Work) -> Plan:
    """Of all plans with so many added types that cover as many joints give that in which they rank best, by ids then.

    Where the work does not settle it, `types` are told.
    """

    def within() -> RankedProgram:
        program = RankedProgram(wanted, work, priced=False, left=True)
        program.row(program.added.items(), most=most)
        program.at_most(program.left, wanted.joints - reached.value)
        return program

    program = within()
    found = program.solve(program.ranks)
    if found is None:
        return _left(wanted, types, reached, settled=False)
    best = program.types(found)
    ranks = Aim(wanted.ranks(wanted.best_ranked(best)), found.bound)
    if not ranks.proven:
        return _left(wanted, types, reached, settled=False)
    used = used_of(wanted, best)
    # With fewer added types than there may be, those that do nothing would come first by order.
    if len(used - wanted.carried) == most and program.is_only(used, program.ranks, ranks.value, FOR_A_SHORT_WAY):
        return _left(wanted, tuple(sorted(used)), reached, settled=True)
    program = within()
    program.start(found.values)
    program.at_most(program.ranks, ranks.value)
    ordered = first_by_order(program, program.in_order)
    return _left(wanted, program.types(ordered) if ordered else types, reached, settled=ordered is not None)


def _left(wanted: Wanted, types: tuple[int, ...], reached: Aim, *, settled: bool) -> Plan:
    return Plan(types, tuple(wanted.best_ranked(types)), reached, settled)


def _more(wanted: Wanted, aim: str, plan: Plan, most: int, work: Work) -> tuple[Plan | None, str]:
    """Give the plan with one type more that costs less or, where none does, in which joints rank better.

    None with a word where the work does not tell whether there is one.
    """
    if wanted.large:
        return None, "rank"
    if aim != LEAST_COST and wanted.prices and not wanted.unpriced:
        cheaper = cheapest_ranked(wanted, most, work)
        if cheaper is not None and _adds(wanted, cheaper) == most and _cost(wanted, cheaper) < _cost(wanted, plan):
            return cheaper, "cost"
        if cheaper is None or not cheaper.settled:
            return None, "cost"
    better = best_ranked(wanted, most, work)
    if better is None:
        return None, "rank"
    if _adds(wanted, better) == most and wanted.ranks(better.shares) < wanted.ranks(plan.shares):
        return better, "rank"
    return None, "" if better.settled else "rank"


def _adds(wanted: Wanted, plan: Plan) -> int:
    return len(set(plan.types) - wanted.carried)


def _cost(wanted: Wanted, plan: Plan) -> int:
    return wanted.cost(wanted.counts(plan.shares))
