"""The least cost at which every joint can be made, packs whole and spares among them.

Ties go to fewest types that are not carried already, then to the ids that come first, then to the best ranks of all
joints together, then to as many as can be of the ids that come first, and at last kind by kind (`sharing.py`).
"""

from __future__ import annotations

from collections.abc import Sequence

from splicewright.job.assignment import in_order
from splicewright.job.mip_models import SharingProgram
from splicewright.job.solver import Aim, Clock, first_by_order
from splicewright.job.stock import Plan, Wanted

Shares = list[dict[int, int]]


def least_cost(wanted: Wanted, clock: Clock) -> Plan:
    """Give the plan of least cost."""
    program = SharingProgram(wanted, clock, _sets(wanted))
    found = program.solve(program.cost)
    if found is None:
        return _fallback(wanted)
    shares = program.shares(found)
    aim = Aim(wanted.cost(program.counted(found)), found.bound)
    if not aim.proven:
        return _unsettled(wanted, shares, aim)
    used = tuple(sorted({*wanted.counts(shares), *wanted.carried}))
    other = SharingProgram(wanted, clock, _sets(wanted))
    other.use_carried_only()
    if _is_only(other, used, aim.value):
        return _shared(wanted, clock, used, aim)
    program.at_most(program.cost, aim.value)
    program.use_carried_only()
    program.start(program.flagged(found))
    types = _few_and_first(program)
    return _unsettled(wanted, shares, aim) if types is None else _shared(wanted, clock, types, aim)


def least_cost_within(wanted: Wanted, most: int, left: int, clock: Clock) -> Plan | None:
    """Give the plan of least cost with at most so many added types and so many joints left out."""

    def within() -> SharingProgram:
        program = SharingProgram(wanted, clock, _sets(wanted), left=True)
        program.use_carried_only()
        program.row(program.added.items(), most=most)
        program.at_most(program.left, left)
        return program

    program = within()
    found = program.solve(program.cost)
    if found is None:
        return None
    aim = Aim(wanted.cost(program.counted(found)), found.bound)
    held = tuple(sorted({*(one for one, n in program.counted(found).items() if n), *wanted.carried}))
    if not aim.proven:
        return Plan(held, (), aim, settled=False, cost=aim.value)
    if _is_only(within(), held, aim.value):
        return Plan(held, (), aim, settled=True, cost=aim.value)
    program.at_most(program.cost, aim.value)
    types = _few_and_first(program)
    return Plan(types or held, (), aim, types is not None, aim.value)


def _sets(wanted: Wanted) -> list[tuple[tuple[int, ...], int]]:
    """Give the sets of options without the types that are in no plan of least cost."""
    return [
        (tuple(option for option in options if option not in wanted.outdone), n) for options, n in wanted.sets.items()
    ]


def _is_only(program: SharingProgram, types: tuple[int, ...], cost: int) -> bool:
    """Say whether no plan of that cost or less has other types than these, and no more of them that are added."""
    added = [program.flags[one] for one in types if one not in program.wanted.carried]
    program.row([(flag, 1) for flag in added], most=len(added) - 1)
    program.row(program.added.items(), most=len(added))
    return not added or program.has_none(program.cost, cost)


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


def _shared(wanted: Wanted, clock: Clock, types: tuple[int, ...], cost: Aim) -> Plan:
    """Share the joints out among types that are settled: best ranks first, then ids."""
    held = set(types)
    kinds = [(tuple(option for option in kind.options if option in held), kind.count) for kind in wanted.kinds]
    program = SharingProgram(wanted, clock, kinds)
    program.at_most(program.cost, cost.value)
    weights = {
        column: float(kind.options.index(one))
        for kind, share in zip(wanted.kinds, program.takes, strict=True)
        for one, column in share.items()
        if kind.options.index(one)
    }
    found = program.solve(weights)
    if found is None:
        return _unsettled(wanted, [], cost, types)
    shares = program.shares(found)
    ranks = Aim(wanted.ranks(shares), found.bound)
    if not ranks.proven or _cost(wanted, shares) != cost.value:
        return _unsettled(wanted, shares, cost, types)
    program.at_most(weights, ranks.value)
    # With every count settled the last solve is of shares alone, and those are whole at its corners.
    last = program.solve(weights) if _settle_counts(program) else None
    if last is None:
        return _unsettled(wanted, shares, cost, types)
    ordered = in_order(wanted.kinds, program.shares(last))
    settled = ordered is not None and _cost(wanted, ordered) == cost.value
    return Plan(types, tuple(ordered or shares), cost, settled)


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


def _unsettled(wanted: Wanted, shares: Shares, aim: Aim, types: tuple[int, ...] = ()) -> Plan:
    """Make a plan of what was found when the time was up; shares may be those of sets, which know no order."""
    used = set(types) or set(wanted.counts(shares))
    held = tuple(sorted(used | wanted.carried))
    if len(shares) != len(wanted.kinds) or not types:
        shares = _by_kind(wanted, shares) if shares else wanted.best_ranked(held)
    return Plan(held, tuple(shares), Aim(_cost(wanted, shares), aim.bound), settled=False)


def _by_kind(wanted: Wanted, shares: Shares) -> Shares:
    """Deal what the sets were given out to their kinds."""
    left = {options: dict(share) for options, share in zip(wanted.sets, shares, strict=True)}
    dealt = []
    for kind in wanted.kinds:
        stock, own, need = left[tuple(sorted(kind.options))], {}, kind.count
        for option in kind.options:
            if taken := min(need, stock.get(option, 0)):
                own[option] = taken
                stock[option] -= taken
                need -= taken
        dealt.append(own)
    return dealt


def _fallback(wanted: Wanted) -> Plan:
    """Give each set the type that costs least by the piece: somewhere to be when there was no time at all."""

    def each(one: int) -> tuple[float, int]:
        price = wanted.prices.get(one)
        return (price.amount / price.of if price else 0.0, one)

    shares = [{min(kind.options, key=each): kind.count} for kind in wanted.kinds]
    held = tuple(sorted(set(wanted.counts(shares)) | wanted.carried))
    return Plan(held, tuple(shares), Aim(_cost(wanted, shares), 0.0), settled=False)
