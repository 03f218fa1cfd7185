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
    requests: int  # over HTTP, of each kind in each run


FULL = Sizes(runs=9, questions=1000, lines=1_000_000, batches=3, requests=10_000)
QUICK = Sizes(runs=5, questions=200, lines=100_000, batches=3, requests=2000)
SMALLEST = Sizes(runs=1, questions=4, lines=400, batches=1, requests=20)
