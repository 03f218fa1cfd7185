"""Jobs and their stock plans: how long a plan takes that is proven the best, and a job of many joints."""

from __future__ import annotations

import itertools
import random
from collections.abc import Callable, Iterator
from typing import Any

import orjson

from splicewright.answering import Chooser
from splicewright.job.model import FEWEST_TYPES, LEAST_COST, Price, Stock
from splicewright.job.planning import WORK, Planned, plan_stock
from splicewright.job.stock import Wanted, wanted
from splicewright.question.read import read_question
from tests.bench.pairs import Side, paired
from tests.bench.questions import distinct
from tests.bench.sizes import Sizes
from tests.bench.table import Figure, Row
from tests.bench.timing import wall_seconds

TYPES, PRICED, JOINTS = 40, 24, 1500
PLAN_SECONDS, JOB_SECONDS = 2, 5
DIFFERENT = 500  # questions that the joints of a large job ask
MOST_WORK = 10 * WORK  # as much as a job may allow
_SEED = 13


class NotProven(AssertionError):
    """A plan that was to be proven was not."""


def rows(sizes: Sizes) -> Iterator[Row]:
    """Measure stock plans for fewest types and for least cost, then a job of many joints."""
    ranked = ranked_joints(Chooser(), sizes.few)
    for aim, types, priced, figure in (
        (FEWEST_TYPES, TYPES, 0, Figure(PLAN_SECONDS, most=True)),
        (FEWEST_TYPES, TYPES, TYPES, Figure(PLAN_SECONDS, most=True)),
        (LEAST_COST, PRICED, PRICED, None),
    ):
        seconds = [wall_seconds(proven(stock(ranked, aim, types, priced, seed), aim)) for seed in range(sizes.runs)]
        prices = f", {priced} priced" if priced else ""
        what = f"stock plan, {aim}, with alternatives, proven: {types} types{prices}, {JOINTS:,} joints"
        yield Row(what, seconds, "s", figure)
    yield _large_job(sizes)


def ranked_joints(chooser: Chooser, count: int) -> list[tuple[str, ...]]:
    """Give the options, best first, of so many different joints that can be made."""
    found = []
    for given in distinct(_SEED):
        match = chooser.holding.match(read_question(given).question)
        if match.options:
            found.append(tuple(option.connector.id for option in match.options))
        if len(found) == count:
            break
    return found


def stock(ranked: list[tuple[str, ...]], aim: str, types: int, priced: int, seed: int) -> Wanted:
    """Give a stock to plan: as many types and joints as the bench's, of the options that joints really have."""
    rng = random.Random(seed)
    everything = sorted({rule_id for ids in ranked for rule_id in ids})
    kept = set(rng.sample(everything, min(types, len(everything))))
    joints = [some for ids in ranked if (some := tuple(rule_id for rule_id in ids if rule_id in kept))]
    prices = {one: _price(rng) for one in sorted(kept)[:priced]}
    return wanted([(rng.choice(joints), rng.randint(1, 60)) for _ in range(JOINTS)], Stock((), aim, prices, spare=100))


def _price(rng: random.Random) -> Price:
    cents, of = 100 * rng.randint(8, 90), rng.choice([1, 25, 50, 100])
    return Price(cents * of, of)


def proven(given: Wanted, aim: str) -> Callable[[], Planned]:
    """Give the work of planning a stock. It raises `NotProven` where the plan is not proven the best."""

    def work() -> Planned:
        found = plan_stock(given, aim, MOST_WORK)
        if not (found.plan.aim.proven and found.plan.settled):
            raise NotProven(f"{aim}: {found.plan.aim}")
        return found

    return work


def large_job(joints: int, different: int) -> dict[str, Any]:
    """Give a job of so many joints that ask so many different questions."""
    rng = random.Random(_SEED)
    questions = list(itertools.islice(distinct(_SEED), different))
    return {
        "joints": [
            {"id": f"joint-{at}", "quantity": rng.randint(1, 9), **rng.choice(questions)} for at in range(joints)
        ],
        "stock": {"spare_percent": 10},
    }


def _large_job(sizes: Sizes) -> Row:
    different = min(DIFFERENT, sizes.joints)
    job = orjson.dumps(large_job(sizes.joints, different))
    (taken,) = paired({"job": Side("job")}, [job], sizes.runs).values()
    what = f"job of {sizes.joints:,} joints that ask {different} questions, with its plan, rules read anew"
    return Row(what, [one.seconds() for one in taken], "s", Figure(JOB_SECONDS, most=True))
