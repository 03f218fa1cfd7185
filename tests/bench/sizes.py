"""How much a run of the bench does."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Sizes:
    """How many of each thing, and how often."""

    runs: int
    questions: int  # put to the engines, and answered cold in each run
    lines: int  # of the larger batch; the smaller has a tenth of them
    batches: int  # runs of each batch
    exchanges: int  # with each view over HTTP, in turn
    requests: int  # in each exchange; of cold ones a quarter


FULL = Sizes(runs=9, questions=1000, lines=1_000_000, batches=3, exchanges=20, requests=4000)
QUICK = Sizes(runs=5, questions=200, lines=100_000, batches=3, exchanges=8, requests=1000)
SMALLEST = Sizes(runs=1, questions=4, lines=400, batches=1, exchanges=1, requests=20)
