"""The stock plan of a job in its JSON form, with its alternatives."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from splicewright.job.model import Plain, Stock, Use, money
from splicewright.job.planning import Planned
from splicewright.job.stock import Plan, Wanted
from splicewright.job.takeoff import Made, uses_of


class StockPlanJson:
    """Writes plans of one stock. `names` are what connectors are called, by their ids."""

    def __init__(self, planned: Planned, stock: Stock, made: Sequence[Made], names: Mapping[str, str]) -> None:
        """Write plans for what is made of the joints of a job."""
        self._planned, self._stock, self._names = planned, stock, names
        self._made = [one for one in made if planned.wanted.usable(one.ranked)]

    def to_dict(self) -> Plain:
        """Write the plan, what each type covers, and its alternatives where there are any."""
        planned = self._planned
        alternatives: Plain = {}
        if planned.fewer is not None:
            alternatives["fewer"] = self._plan(planned.fewer) | {"not_made": self._not_made(planned.fewer)}
        if planned.more is not None:
            alternatives["more"] = self._plan(planned.more) | {"improves": planned.improves}
        return {
            "aim": self._stock.aim,
            **self._plan(planned.plan),
            "covers": self._covers(planned.wanted),
            "alternatives": alternatives,
            **({"unsearched": list(planned.unsearched)} if planned.unsearched else {}),
        }

    def _plan(self, plan: Plan) -> Plain:
        """Write a plan: its types, proven or not, its cost, and how the joints rank what they are made with."""
        wanted, shared = self._planned.wanted, self._planned.wanted.counts(plan.shares)
        uses = [use for some in uses_of(self._made, wanted, plan) for use in some]
        made = wanted.covers(plan.types)
        written: Plain = {
            "types": [self._type(one, shared) for one in plan.types],
            "counts": {"made": made, "not_made": wanted.joints - made},
            "proven_optimal": plan.aim.proven,
            "ties_settled": plan.settled,
        }
        if not plan.aim.proven:
            written["gap"] = round(plan.aim.gap, 6)
        if self._stock.prices:
            written["cost"] = money((wanted.cost(shared) if plan.cost is None else plan.cost) * wanted.unit)
        if uses:
            written["counts"]["first_choices"] = sum(use.count for use in uses if use.rank == 1)
            written["mean_rank"] = _mean_rank(uses)
        return written

    def _type(self, one: int, shared: Mapping[int, int]) -> Plain:
        wanted = self._planned.wanted
        made = {"joint_count": shared.get(one, 0)} if shared else {}
        return {**self._named(wanted.types[one]), "carried": one in wanted.carried, **made}

    def _named(self, connector: str) -> Plain:
        return {"connector": connector, "name": self._names[connector]}

    def _not_made(self, plan: Plan) -> list[str]:
        """Give the names of what a plan has no type for."""
        wanted, held = self._planned.wanted, set(plan.types)
        left = {wanted.names(kind) for kind in wanted.kinds if held.isdisjoint(kind.options)}
        return list(dict.fromkeys(one.name for one in self._made if wanted.usable(one.ranked) in left))

    def _covers(self, wanted: Wanted) -> list[Plain]:
        """Write how many joints each type could make alone, those that make most first."""
        found = [{**self._named(wanted.types[one]), "joint_count": count} for one, count in wanted.alone.items()]
        return sorted(found, key=lambda one: (-one["joint_count"], one["connector"]))


def _mean_rank(uses: Iterable[Use]) -> float:
    ranks = [(use.rank, use.count) for use in uses]
    return round(sum(rank * count for rank, count in ranks) / sum(count for _, count in ranks), 2)
