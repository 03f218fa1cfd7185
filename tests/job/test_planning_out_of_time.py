"""Wherever the time runs out, a plan covers every joint, its cost is true, and it claims no more than was proven."""

from __future__ import annotations

import random

import pytest

from splicewright.job import planning
from splicewright.job.model import FEWEST_TYPES, LEAST_COST
from tests.job import brute
from tests.seeds import seeds


class Turns:
    """A clock that lets so many solves begin."""

    def __init__(self, turns: int) -> None:
        self._turns = turns

    @property
    def left(self) -> float:
        self._turns -= 1
        return 60.0 if self._turns >= 0 else 0.0


def cut_short(monkeypatch, seed, aim, turns):
    given = brute.small_stock(random.Random(f"short {aim} {seed}"), aim)
    clock = Turns(turns)
    monkeypatch.setattr(planning, "Clock", lambda _seconds: clock)
    return given, planning.plan_stock(given, aim, 60.0)


@pytest.mark.parametrize("aim", [FEWEST_TYPES, LEAST_COST])
@pytest.mark.parametrize("turns", range(14))
@pytest.mark.parametrize("seed", seeds(6, fast=1))
def test_plan_is_whole_and_honest(monkeypatch, seed, turns, aim):
    given, found = cut_short(monkeypatch, seed, aim, turns)
    plan = found.plan
    assert [sum(share.values()) for share in plan.shares] == [kind.count for kind in given.kinds]
    assert set(brute.counted(plan.shares)) <= set(plan.types)
    if not given.kinds:
        return
    if aim == LEAST_COST:
        best = brute.cheapest(given)
        assert plan.aim.value * given.unit == brute.costs(given, brute.counted(plan.shares))
        assert not plan.aim.proven or plan.aim.value * given.unit == best[0]
        assert not plan.settled or (plan.types, plan.shares) == (best[1], best[2])
    else:
        types = brute.fewest(given)
        assert not plan.aim.proven or len(plan.types) == len(types)
        assert not plan.settled or plan.types == types


@pytest.mark.parametrize("aim", [FEWEST_TYPES, LEAST_COST])
@pytest.mark.parametrize("turns", range(14))
@pytest.mark.parametrize("seed", seeds(6, fast=1))
def test_alternatives_are_honest(monkeypatch, seed, turns, aim):
    given, found = cut_short(monkeypatch, seed, aim, turns)
    added = len(set(found.plan.types) - given.carried)
    if found.fewer is not None:
        assert len(set(found.fewer.types) - given.carried) <= added - 1
        covers = given.covers(found.fewer.types)
        assert not found.fewer.aim.proven or covers == brute.most_covered(given, added - 1)
    if found.more is not None:
        assert len(set(found.more.types) - given.carried) == added + 1
