"""From the start of a process to its first answer, and the memory of one that has answered many."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Iterator, Sequence

from splicewright import shipped
from tests.bench.processes import CHECKOUT, bench_module, splicewright
from tests.bench.questions import lines
from tests.bench.sizes import Sizes
from tests.bench.table import Figure, Row
from tests.bench.timing import children_seconds, wall_seconds

MOST_SECONDS = 0.5
ANSWERED = 1000  # before a worker's memory is looked at
_QUESTION = shipped.folder("openapi") / "examples" / "boathouse-luminaire.yaml"
_SEED = 8


def rows(sizes: Sizes) -> Iterator[Row]:
    """Measure `choose` from start to end, the interpreter alone beside it, and a worker's memory."""
    commands: tuple[Sequence[str], Sequence[str]] = (
        splicewright("choose", str(_QUESTION)),
        [sys.executable, "-c", "pass"],
    )
    taken: tuple[list[float], list[float]] = ([], [])
    used: tuple[list[float], list[float]] = ([], [])
    for start in range(sizes.runs + 1):
        for command, seconds, of_processor in zip(commands, taken, used, strict=True):
            with children_seconds() as processor:
                passed = wall_seconds(lambda command=command: _run(command))
            if start:  # the first finds no files in memory
                seconds.append(passed)
                of_processor.extend(processor)
    yield Row("splicewright choose, process start to end", taken[0], "s", Figure(MOST_SECONDS, most=True))
    yield Row("splicewright choose: processor time", used[0], "s")
    yield Row("the interpreter alone, process start to end", taken[1], "s")
    asked = lines(_SEED, min(ANSWERED, sizes.questions))
    what = f"memory of one worker after {len(asked):,} distinct questions, full"
    yield Row(what, [_worker(b"\n".join(asked)) for _ in range(sizes.batches)], "MB")


def _run(command: Sequence[str]) -> None:
    subprocess.run(command, stdout=subprocess.DEVNULL, check=True)


def _worker(asked: bytes) -> float:
    done = subprocess.run(bench_module("worker"), cwd=CHECKOUT, input=asked, stdout=subprocess.PIPE, check=True)
    return int(done.stdout) / 1e6
