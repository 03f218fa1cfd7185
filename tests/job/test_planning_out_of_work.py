"""Wherever the work is used up, a plan covers every joint, its cost is true, and it claims no more than was proven."""

from __future__ import annotations

import random

import pytest

from splicewright.job.model import FEWEST_TYPES, LEAST_COST
from splicewright.job.planning import WORK, plan_stock
from tests.job import brute
from tests.seeds import seeds

AMOUNTS = [0, 500, 1_000, 2_000, 4_000, 8_000, 16_000, 32_000, 64_000, 128_000]


def cut_short(seed, aim, work):
    given = brute.small_stock(random.Random(f"short {aim} {seed}"), aim)
    return given, plan_stock(given, aim, work)


@pytest.mark.parametrize("aim", [FEWEST_TYPES, LEAST_COST])
@pytest.mark.parametrize("work", AMOUNTS)
@pytest.mark.parametrize("seed", seeds(12, fast=2))
def test_plan_is_whole_and_honest(seed, work, aim):
    given, found = cut_short(seed, aim, work)
    plan = found.plan
    assert [sum(share.values()) for share in plan.shares] == [kind.count for kind in given.kinds]
    assert set(brute.counted(plan.shares)) <= set(plan.types)
    if not given.kinds:
        return
    if aim == LEAST_COST:
        best = brute.cheapest(given)
        assert plan.aim.value * given.unit == brute.costs(given, brute.counted(plan.shares))
        assert plan.aim.bound * given.unit <= best[0] + 1e-6
        assert not plan.aim.proven or plan.aim.value * given.unit == best[0]
        assert not plan.settled or (plan.types, plan.shares) == (best[1], best[2])
    else:
        types = brute.fewest(given)
        assert plan.aim.bound <= len(set(types) - given.carried) + 1e-6
        assert not plan.aim.proven or len(plan.types) == len(types)
        assert not plan.settled or plan.types == types


@pytest.mark.parametrize("aim", [FEWEST_TYPES, LEAST_COST])
@pytest.mark.parametrize("work", AMOUNTS)
@pytest.mark.parametrize("seed", seeds(12, fast=2))
def test_alternatives_are_honest(seed, work, aim):
    given, found = cut_short(seed, aim, work)
    added = len(set(found.plan.types) - given.carried)
    assert found.fewer is None or "fewer" not in found.unsearched
    assert found.more is None or "more" not in found.unsearched
    if found.fewer is not None:
        assert len(set(found.fewer.types) - given.carried) <= added - 1
        covers = given.covers(found.fewer.types)
        assert not found.fewer.aim.proven or covers == brute.most_covered(given, added - 1)
    if found.more is not None:
        assert len(set(found.more.types) - given.carried) == added + 1


@pytest.mark.parametrize("seed", seeds(12, fast=2))
def test_what_is_told_to_be_unsearched_is_found_with_more_work(seed):
    """An alternative that is null without being named there is none: with all the work there is none either."""
    for work in AMOUNTS:
        given, found = cut_short(seed, FEWEST_TYPES, work)
        whole = plan_stock(given, FEWEST_TYPES, 40 * WORK)
        if len(whole.plan.types) != len(found.plan.types):
            continue
        assert found.fewer is not None or "fewer" in found.unsearched or whole.fewer is None


@pytest.mark.parametrize("seed", seeds(12, fast=2))
def test_more_work_never_gives_a_dearer_plan_than_one_that_is_proven(seed):
    best = None
    for work in [*AMOUNTS, WORK]:
        plan = cut_short(seed, LEAST_COST, work)[1].plan
        assert best is None or plan.aim.value == best
        best = plan.aim.value if plan.aim.proven else None if best is None else best
