"""Stock plans equal what trying everything finds: both aims, with carried types, prices, packs and spares."""

from __future__ import annotations

import random

import pytest

from splicewright.job.model import FEWEST_TYPES, LEAST_COST, Price, Stock
from splicewright.job.planning import WORK, Planned, plan_stock
from splicewright.job.stock import Wanted, wanted
from tests.job import brute
from tests.seeds import seeds

JOBS = 150  # of each aim
PLENTY = 40 * WORK


def made(aim: str, seed: int) -> Wanted:
    return brute.small_stock(random.Random(f"{aim} {seed}"), aim)


def planned(given: Wanted, aim: str) -> Planned:
    found = plan_stock(given, aim, PLENTY)
    assert found.plan.aim.proven
    assert found.plan.settled
    return found


@pytest.mark.parametrize("seed", seeds(JOBS, fast=20))
def test_fewest_types_are_those_that_trying_every_set_finds(seed):
    given = made(FEWEST_TYPES, seed)
    plan = planned(given, FEWEST_TYPES).plan
    types = brute.fewest(given)
    assert plan.types == types
    assert plan.shares == brute.best_of(given, types)


@pytest.mark.parametrize("seed", seeds(JOBS, fast=20))
def test_least_cost_is_what_trying_every_sharing_finds(seed):
    given = made(LEAST_COST, seed)
    if not given.kinds:
        assert planned(given, LEAST_COST).plan.shares == ()
        return
    plan = planned(given, LEAST_COST).plan
    cost, types, shares = brute.cheapest(given)
    assert plan.aim.value * given.unit == cost
    assert plan.types == types
    assert plan.shares == shares


@pytest.mark.parametrize("seed", seeds(JOBS, fast=20))
def test_one_type_fewer_covers_as_many_joints_as_can_be(seed):
    given = made(FEWEST_TYPES, seed)
    found = planned(given, FEWEST_TYPES)
    added = len(set(found.plan.types) - given.carried)
    if not added or len(found.plan.types) == 1:
        assert found.fewer is None
        return
    assert found.fewer is not None
    assert found.fewer.aim.proven
    assert found.fewer.settled
    assert given.covers(found.fewer.types) == brute.most_covered(given, added - 1)
    assert found.fewer.types == brute.first_of_most_covered(given, added - 1)


@pytest.mark.parametrize("seed", seeds(JOBS, fast=20))
def test_one_type_fewer_costs_as_little_as_can_be(seed):
    given = made(LEAST_COST, seed)
    found = plan_stock(given, LEAST_COST, PLENTY)
    if found.fewer is None:
        assert len(found.plan.types) <= 1 or set(found.plan.types) == given.carried
        return
    added = len(set(found.plan.types) - given.carried)
    cost, types = brute.cheapest_of_most_covered(given, added - 1)
    assert found.fewer.aim.proven
    assert found.fewer.settled
    assert found.fewer.cost is not None
    assert (found.fewer.cost * given.unit, found.fewer.types) == (cost, types)


@pytest.mark.parametrize("aim", [FEWEST_TYPES, LEAST_COST])
@pytest.mark.parametrize("seed", seeds(JOBS, fast=20))
def test_one_type_more_is_cheaper_or_ranks_best(seed, aim):
    given = made(aim, seed)
    found = plan_stock(given, aim, PLENTY)
    if not given.kinds:
        return
    most = len(set(found.plan.types) - given.carried) + 1
    ranks, types = brute.best_ranks(given, most)
    cost = brute.costs(given, brute.counted(found.plan.shares))
    saves = aim == FEWEST_TYPES and given.prices and not given.unpriced and brute.least_ranked_cost(given, most) < cost
    if saves:
        assert found.more is not None
        assert found.improves == "cost"
        assert brute.costs(given, brute.counted(found.more.shares)) == brute.least_ranked_cost(given, most)
    elif ranks < brute.ranks_of(given, found.plan.shares) and len(set(types) - given.carried) == most:
        assert found.more is not None
        assert (found.improves, found.more.types) == ("rank", types)
    else:
        assert found.more is None


def test_types_that_are_carried_count_as_no_further_type():
    joints = [(("a", "b"), 1), (("b", "c"), 1), (("c",), 1)]
    without = plan_stock(wanted(joints, Stock((), FEWEST_TYPES, {}, 0)), FEWEST_TYPES, PLENTY)
    carried = plan_stock(wanted(joints, Stock(("c",), FEWEST_TYPES, {}, 0)), FEWEST_TYPES, PLENTY)
    assert [without.wanted.types[one] for one in without.plan.types] == ["a", "c"]
    assert (without.plan.aim.value, carried.plan.aim.value) == (2, 1)


def test_without_prices_types_that_rank_better_come_before_ids_that_come_first():
    joints = [(("z", "a"), 3), (("z", "b", "a"), 1)]
    plan = plan_stock(wanted(joints, Stock((), FEWEST_TYPES, {}, 0)), FEWEST_TYPES, PLENTY)
    assert [plan.wanted.types[one] for one in plan.plan.types] == ["z"]
    assert (plan.plan.aim.proven, plan.plan.settled) == (True, True)


def test_without_prices_the_plan_with_one_type_fewer_is_that_which_ranks_best():
    joints = [(("y", "a"), 2), (("z", "b"), 2)]
    found = plan_stock(wanted(joints, Stock((), FEWEST_TYPES, {}, 0)), FEWEST_TYPES, PLENTY)
    assert [found.wanted.types[one] for one in found.plan.types] == ["y", "z"]
    assert found.fewer is not None
    assert [found.wanted.types[one] for one in found.fewer.types] == ["y"]


def test_of_equal_ranks_the_ids_that_come_first_are_taken():
    joints = [(("b", "a"), 2), (("a", "b"), 2)]
    plan = plan_stock(wanted(joints, Stock((), FEWEST_TYPES, {}, 0)), FEWEST_TYPES, PLENTY)
    assert [plan.wanted.types[one] for one in plan.plan.types] == ["a"]


def test_whole_packs_may_make_a_dearer_piece_cheaper():
    prices = {"single": Price(3000), "packed": Price(10_000, 100)}
    stock = Stock((), LEAST_COST, prices, 0)
    few = plan_stock(wanted([(("single", "packed"), 3)], stock), LEAST_COST, PLENTY)
    many = plan_stock(wanted([(("single", "packed"), 4)], stock), LEAST_COST, PLENTY)
    assert [few.wanted.types[one] for one in few.plan.types] == ["single"]
    assert [many.wanted.types[one] for one in many.plan.types] == ["packed"]


@pytest.mark.parametrize(
    ("aim", "prices"), [(FEWEST_TYPES, {}), (LEAST_COST, {"a": Price(1, 9), "c": Price(2, 9), "e": Price(3, 9)})]
)
def test_without_work_a_plan_still_covers_every_joint_and_says_that_it_is_not_proven(aim, prices):
    given = wanted([(("a", "b"), 2), (("c", "d"), 3), (("e",), 1)], Stock((), aim, prices, 0))
    plan = plan_stock(given, aim, 0).plan
    assert not plan.aim.proven
    assert not plan.settled
    assert plan.aim.gap > 0
    assert [sum(share.values()) for share in plan.shares] == [kind.count for kind in given.kinds]


@pytest.mark.slow
def test_the_same_job_is_planned_alike_in_any_order_of_joints():
    rng = random.Random(7)
    ids = [f"type-{n}" for n in range(12)]
    joints = [(tuple(rng.sample(ids, rng.randint(2, 6))), rng.randint(1, 40)) for _ in range(60)]
    prices = {rule_id: Price(1000 * rng.randint(1, 4), rng.choice([1, 10, 25])) for rule_id in ids}
    plans = []
    for _ in range(3):
        rng.shuffle(joints)
        found = plan_stock(wanted(joints, Stock((), LEAST_COST, prices, 100)), LEAST_COST, PLENTY)
        plans.append((found.plan, found.fewer, found.more))
    assert plans[0] == plans[1] == plans[2]
