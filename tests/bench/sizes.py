"""How much a run of the bench does."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Sizes:
    """How many of each thing, and how often."""

    runs: int  # of each thing that is measured beside another
    questions: int  # that the engine, CLIPS and complete answers are asked cold
    few: int  # that slower peers are asked, and what grows
    lines: int  # of the larger batch; the smaller has a tenth of them
    batches: int  # runs of each batch
    exchanges: int  # with each view over HTTP, in turn
    requests: int  # in each exchange; of cold ones a quarter
    joints: int  # of the large job


FULL = Sizes(runs=7, questions=10_000, few=1000, lines=1_000_000, batches=3, exchanges=20, requests=4000, joints=20_000)
QUICK = Sizes(runs=3, questions=500, few=200, lines=100_000, batches=1, exchanges=4, requests=800, joints=20_000)
SMALLEST = Sizes(runs=1, questions=4, few=4, lines=400, batches=1, exchanges=1, requests=20, joints=400)
