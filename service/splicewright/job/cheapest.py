"""The least cost at which every joint can be made, packs whole and spares among them.

Ties go to fewest types that are not carried already, then to the ids that come first, then to the best ranks of all
joints together, then to as many as can be of the ids that come first, and at last kind by kind (`sharing.py`).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from splicewright.job.assignment import in_order
from splicewright.job.mip_models import SharingProgram
from splicewright.job.solver import Aim, Work, first_by_order
from splicewright.job.stock import Plan, Wanted

Shares = list[dict[int, int]]
_FOR_TIES = 0.1  # of the work: kept for what comes once the cost is proven
_FOR_A_SHORT_WAY = 0.1  # of the work: so much may be spent on proving that there is no tie to break


def least_cost(wanted: Wanted, work: Work) -> Plan:
    """Give the plan of least cost; where the work does not prove it, the best that was found, and a bound."""
    shares = _by_kind(wanted, wanted.by_piece)
    aim = Aim(_cost(wanted, shares), wanted.least)
    if wanted.large:
        return _unsettled(wanted, shares, aim)
    program = SharingProgram(wanted, work, list(wanted.cost_sets.items()))
    with work.keeping(_FOR_TIES):
        found = program.solve(program.cost)
    if found is None:
        return _unsettled(wanted, shares, aim)
    shares, aim = _better(wanted, shares, _by_kind(wanted, program.shares(found)), max(aim.bound, found.bound))
    if not aim.proven:
        return _unsettled(wanted, shares, aim)
    types = _types(wanted, shares)
    other = SharingProgram(wanted, work, program.kinds)
    other.use_carried_only()
    if not other.is_only(types, other.cost, aim.value, _FOR_A_SHORT_WAY):
        program.at_most(program.cost, aim.value)
        program.use_carried_only()
        program.start(program.flagged(found))
        few = _few_and_first(program)
        if few is None:
            return _unsettled(wanted, shares, aim)
        types = few
    return _shared(wanted, work, types, Plan(_types(wanted, shares), tuple(shares), aim, settled=False))


def least_cost_within(wanted: Wanted, most: int, left: int, work: Work) -> Plan | None:
    """Give the plan of least cost with at most so many added types and so many joints left out."""

    def within() -> SharingProgram:
        program = SharingProgram(wanted, work, list(wanted.cost_sets.items()), left=True)
        program.use_carried_only()
        program.row(program.added.items(), most=most)
        program.at_most(program.left, left)
        return program

    program = within()
    with work.keeping(_FOR_A_SHORT_WAY):
        found = program.solve(program.cost)
    if found is None:
        return None
    counts = program.counted(found)
    aim = Aim(wanted.cost(counts), found.bound)
    held = tuple(sorted({*(one for one, n in counts.items() if n), *wanted.carried}))
    shares = () if left else tuple(_by_kind(wanted, program.shares(found)))
    other = within()
    if not aim.proven or other.is_only(held, other.cost, aim.value, _FOR_A_SHORT_WAY):
        return Plan(held, shares, aim, aim.proven, aim.value)
    program.at_most(program.cost, aim.value)
    types = _few_and_first(program)
    return Plan(types or held, () if types else shares, aim, types is not None, aim.value)


def _better(wanted: Wanted, shares: Shares, others: Shares, bound: float) -> tuple[Shares, Aim]:
    """Give the cheaper of two sharings, the other of equal ones, with what it comes to."""
    mine, its = _cost(wanted, shares), _cost(wanted, others)
    return (shares, Aim(mine, bound)) if mine < its else (others, Aim(its, bound))


def _types(wanted: Wanted, shares: Shares) -> tuple[int, ...]:
    return tuple(sorted({*wanted.counts(shares), *wanted.carried}))


def _few_and_first(program: SharingProgram) -> tuple[int, ...] | None:
    found = program.solve(program.added)
    if found is None:
        return None
    count = len(set(program.types(found)) - program.wanted.carried)
    if not Aim(count, found.bound).proven:
        return None
    program.at_most(program.added, count)
    ordered = first_by_order(program, program.in_order)
    return None if ordered is None else program.types(ordered)


def _shared(wanted: Wanted, work: Work, types: tuple[int, ...], plan: Plan) -> Plan:
    """Share the joints out among types that are settled: best ranks first, then ids; `plan` is of the same cost.

    What is not settled is left as the plan has it, or as the last step did that kept the cost.
    """
    held = set(types)
    kinds = [(tuple(option for option in kind.options if option in held), kind.count) for kind in wanted.kinds]
    program = SharingProgram(wanted, work, kinds)
    program.at_most(program.cost, plan.aim.value)
    weights = {
        column: float(kind.options.index(one))
        for kind, share in zip(wanted.kinds, program.takes, strict=True)
        for one, column in share.items()
        if kind.options.index(one)
    }
    found = program.solve(weights)
    if found is None:
        return plan
    shares = program.shares(found)
    if _cost(wanted, shares) != plan.aim.value:
        return plan
    plan = replace(plan, types=types, shares=tuple(shares))
    ranks = Aim(wanted.ranks(shares), found.bound)
    if not ranks.proven:
        return plan
    program.at_most(weights, ranks.value)
    # With every count settled the last solve is of shares alone, and those are whole at its corners.
    last = program.solve(weights) if _settle_counts(program) else None
    ordered = in_order(wanted.kinds, program.shares(last)) if last else None
    if ordered is None or _cost(wanted, ordered) != plan.aim.value:
        return plan
    return replace(plan, shares=tuple(ordered), settled=True)


def _settle_counts(program: SharingProgram) -> bool:
    """Settle how many joints each type makes: as many as can be of the first id, then of the second, and so on."""
    for column in program.counts.values():
        best = program.solve({column: 1.0}, most=True)
        if best is None or not Aim(best.number(column), best.bound).proven:
            return False
        count = best.number(column)
        program.row([(column, 1)], least=count, most=count)
    return True


def _cost(wanted: Wanted, shares: Sequence[dict[int, int]]) -> int:
    return wanted.cost(wanted.counts(shares))


def _unsettled(wanted: Wanted, shares: Shares, aim: Aim) -> Plan:
    return Plan(_types(wanted, shares), tuple(shares), aim, settled=False)


def _by_kind(wanted: Wanted, shares: Shares) -> Shares:
    """Deal what the `cost_sets` were given out to their kinds."""
    left = {options: dict(share) for options, share in zip(wanted.cost_sets, shares, strict=True)}
    dealt = []
    for kind in wanted.kinds:
        stock, own, need = left[wanted.undone(kind.options)], {}, kind.count
        for option in kind.options:
            if taken := min(need, stock.get(option, 0)):
                own[option] = taken
                stock[option] -= taken
                need -= taken
        dealt.append(own)
    return dealt
