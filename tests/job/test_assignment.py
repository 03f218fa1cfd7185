"""The one sharing that comes first by order, of all that use the same numbers of each type and rank best."""

from __future__ import annotations

import itertools
import random

import pytest

from splicewright.job.assignment import in_order
from splicewright.job.stock import Kind
from tests.job.brute import counted


def ways(kinds):
    each = []
    for kind in kinds:
        some = itertools.combinations_with_replacement(kind.options, kind.count)
        each.append([{fromkey: way.count(fromkey) for fromkey in dict.fromkeys(way)} for way in some])
    return itertools.product(*each)


def ranks(kinds, shares):
    return sum(k.options.index(one) * n for k, share in zip(kinds, shares, strict=True) for one, n in share.items())


def order(kinds, shares):
    return [[-share.get(option, 0) for option in kind.options] for kind, share in zip(kinds, shares, strict=True)]


@pytest.mark.parametrize("seed", range(120))
def test_first_by_order_is_what_trying_every_sharing_finds(seed):
    rng = random.Random(seed)
    kinds = [Kind(tuple(rng.sample(range(4), rng.randint(1, 4))), rng.randint(1, 3)) for _ in range(rng.randint(1, 4))]
    everything = list(ways(kinds))
    counts = counted(rng.choice(everything))
    same = [shares for shares in everything if counted(shares) == counts]
    least = min(ranks(kinds, shares) for shares in same)
    best = [shares for shares in same if ranks(kinds, shares) == least]
    expected = min(best, key=lambda shares: order(kinds, shares))
    assert in_order(kinds, rng.choice(best)) == list(expected)


def test_a_sharing_that_could_rank_better_is_told():
    kinds = [Kind((0, 1), 1), Kind((1, 0), 1)]
    assert in_order(kinds, [{1: 1}, {0: 1}]) is None
