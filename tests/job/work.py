"""What plans cost a processor, and whether they are the same however busy the machine is.

`python -m tests.job.work` answers least-cost jobs of 280 joints with all connectors priced, three times with the
machine as it is and three times with four busy processes beside: the bytes, the seconds of a processor, and what was
proven. With `--stocks` it plans stocks as large as a job can have and tells what a unit of work costs; the costs in
`job/solver.py` are from there.
"""

from __future__ import annotations

import argparse
import contextlib
import hashlib
import multiprocessing
import random
import resource
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any

import orjson

from splicewright.answering import shipped_chooser
from splicewright.job.model import FEWEST_TYPES, LEAST_COST, Price, Stock
from splicewright.job.planning import WORK, plan_stock
from splicewright.job.stock import Wanted, wanted
from tests.bench.stock import large_job

BUSY = 4
#: How prices lie: packs of any price, some sold singly, all singly, or much alike by the piece, which is hardest.
PRICES = ("packs", "mixed", "each", "alike")
#: (types, kinds of joints, most options of a kind): up to what a catalogue and a job may hold.
STOCKS = (
    (60, 60, 40),
    (100, 500, 40),
    (300, 1000, 50),
    (1000, 1400, 40),
    (30, 3000, 15),
    (2000, 100, 500),
    (2000, 5000, 200),
)


def price(rng: random.Random, lie: str) -> dict[str, Any]:
    """Give a price of one connector as a job states it."""
    if lie == "each" or (lie == "mixed" and rng.random() < 0.4):
        return {"each": round(rng.uniform(0.1, 5), 2)}
    of = rng.choice([10, 25, 50])
    each = 0.5 * rng.choice([0.9, 1, 1.1]) if lie == "alike" else rng.uniform(0.1, 3)
    return {"pack": round(each * of, 2), "of": of}


def priced_job(joints: int, lie: str, seed: int = 1) -> dict[str, Any]:
    """Give a job of so many joints that ask different questions, planned for least cost, each connector priced."""
    rng = random.Random(f"{lie} {seed}")
    ids = sorted(one.id for one in shipped_chooser().catalogue("shop").connectors)
    prices = {one: price(rng, lie) for one in ids}
    return large_job(joints, joints) | {"stock": {"aim": LEAST_COST, "prices": prices, "spare_percent": 10}}


def large_stock(types: int, kinds: int, most: int, aim: str, lie: str = "alike", seed: int = 1) -> Wanted:
    """Give a stock to plan with so many types, kinds of joints, and options of each kind at most."""
    rng = random.Random(f"{types} {kinds} {most} {seed}")
    ids = [f"type-{at:04}" for at in range(types)]
    joints = [(tuple(rng.sample(ids, rng.randint(1, most))), rng.randint(1, 3)) for _ in range(kinds)]
    steps = {one: price(rng, lie) for one in ids}
    prices = {
        one: Price(round(10_000 * found.get("pack", found.get("each", 0))), found.get("of", 1))
        for one, found in steps.items()
    }
    return wanted(joints, Stock((), aim, prices, 100))


@contextlib.contextmanager
def busy(processes: int) -> Iterator[None]:
    """Keep so many processes busy beside the block."""
    beside = [multiprocessing.Process(target=_spin, daemon=True) for _ in range(processes)]
    for one in beside:
        one.start()
    try:
        yield
    finally:
        for one in beside:
            one.kill()
            one.join()


def _spin() -> None:
    while True:
        pass


def answered(job: Path) -> tuple[bytes, float]:
    """Give a job's answer by the command line, and the seconds of a processor that the process took in all."""
    before = _seconds()
    command = [sys.executable, "-m", "splicewright", "job", str(job), "--format", "json"]
    done = subprocess.run(command, capture_output=True, check=False)
    assert done.returncode in (0, 1), done.stderr.decode()
    return done.stdout, _seconds() - before


def _seconds() -> float:
    used = resource.getrusage(resource.RUSAGE_CHILDREN)
    return used.ru_utime + used.ru_stime


def jobs(joints: int, runs: int, lies: Sequence[str]) -> None:
    """Print of each job its bytes and seconds, of so many runs idle and as many busy."""
    with tempfile.TemporaryDirectory() as folder:
        for lie in lies:
            path = Path(folder) / f"{lie}.json"
            path.write_bytes(orjson.dumps(priced_job(joints, lie)))
            found = [answered(path) for _ in range(runs)]
            with busy(BUSY):
                found += [answered(path) for _ in range(runs)]
            plan = orjson.loads(found[0][0])["stock_plan"]
            digests = {hashlib.sha256(body).hexdigest()[:12] for body, _ in found}
            seconds = " ".join(f"{taken:.1f}" for _, taken in found)
            worth = "optimum" if plan["proven_optimal"] else f"gap {100 * plan['gap']:.2f}%"
            print(f"{joints} joints, {lie}: {', '.join(digests)}; {seconds} s; {worth}, {plan['cost']}", flush=True)
            assert len(digests) == 1


def stocks() -> None:
    """Print of each large stock what its plan took."""
    for shape in STOCKS:
        for aim in (LEAST_COST, FEWEST_TYPES):
            given = large_stock(*shape, aim)
            begun = time.process_time()
            found = plan_stock(given, aim, WORK)
            taken = time.process_time() - begun
            worth = "optimum" if found.plan.aim.proven else f"gap {100 * found.plan.aim.gap:.1f}%"
            print(f"{shape} {aim}: {taken:.2f} s; {worth}; unsearched: {', '.join(found.unsearched)}", flush=True)


if __name__ == "__main__":
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--joints", type=int, default=280)
    parser.add_argument("--runs", type=int, default=3)
    parser.add_argument("--prices", nargs="*", default=PRICES, choices=PRICES)
    parser.add_argument("--stocks", action="store_true")
    asked = parser.parse_args()
    stocks() if asked.stocks else jobs(asked.joints, asked.runs, asked.prices)
