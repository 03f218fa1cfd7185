"""`splicewright batch` as a process of its own, on long files of repeated questions: lines a second, and memory."""

from __future__ import annotations

import subprocess
import tempfile
import time
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from tests.bench.answers import REPEATED_QUESTIONS, with_ids
from tests.bench.proc import Peak
from tests.bench.processes import splicewright
from tests.bench.questions import lines
from tests.bench.sizes import Sizes
from tests.bench.table import Figure, Row
from tests.bench.timing import children_seconds

LINES_A_SECOND, OF_LINES = 60_000, 1_000_000  # in a job of so many lines: a smaller one is mostly start-up
MOST_MB = 300
_SEED = 5
_BLOCK = 1 << 20
_TENTH = "a tenth of the lines"


@dataclass(frozen=True)
class Job:
    """What one job took, start-up included."""

    lines: int
    seconds: float
    processor_seconds: float  # of all its processes together
    resident: float  # MB of all its processes at the worst moment, memory that they share counted for each
    proportional: float  # the same, shared memory counted once

    @property
    def rate(self) -> float:
        """The lines a second."""
        return self.lines / self.seconds


def run(questions: Path, answers: Path, count: int) -> Job:
    """Run one job. Raises ValueError where not every line was answered."""
    with children_seconds() as used, answers.open("wb") as out:
        started = time.perf_counter()
        with subprocess.Popen(splicewright("batch", str(questions)), stdout=out) as process:
            peak = Peak(process.pid)
            peak.start()
            status = process.wait()
            seconds = time.perf_counter() - started
            peak.stop()
    if status or _count(answers) != count:
        raise ValueError(f"batch ended with {status} and {_count(answers)} lines of {count}")
    return Job(count, seconds, used[0], peak.resident / 1e6, peak.proportional / 1e6)


def _count(path: Path) -> int:
    with path.open("rb") as stream:
        return sum(block.count(b"\n") for block in iter(lambda: stream.read(_BLOCK), b""))


def write_job(path: Path, count: int) -> None:
    """Write so many lines with 1,000 distinct questions among them, each line with an id of its own."""
    questions = lines(_SEED, min(REPEATED_QUESTIONS, count))
    with path.open("wb") as stream:
        stream.writelines(line + b"\n" for line in with_ids(questions, count))


def rows(sizes: Sizes) -> Iterator[Row]:
    """Measure a job, and one of a tenth of its lines."""
    jobs: dict[int, list[Job]] = {sizes.lines // 10: [], sizes.lines: []}
    with tempfile.TemporaryDirectory() as folder:
        answers = Path(folder) / "answers"
        questions = {count: Path(folder) / f"questions-{count}" for count in jobs}
        for count, path in questions.items():
            write_job(path, count)
        for _ in range(sizes.batches):
            for count, path in questions.items():
                jobs[count].append(run(path, answers, count))
    yield from _told(*jobs.values(), sizes.lines)


def _told(small: list[Job], large: list[Job], count: int) -> Iterator[Row]:
    rate = Figure(LINES_A_SECOND, most=False) if count >= OF_LINES else None
    yield Row(f"batch, brief, a job of {count:,} lines", [job.rate for job in large], "lines/s", rate)
    used = [1e6 * job.processor_seconds / count for job in large]
    yield Row("batch: processor time a line, start-up and all processes together", used, "µs")
    # Each worker reads the rules and meets each question once: that is most of a shorter job.
    pairs = [
        (other.lines - one.lines, other.processor_seconds - one.processor_seconds)
        for one, other in zip(small, large, strict=True)
    ]
    beyond = [1e6 * seconds / more for more, seconds in pairs]
    yield Row("batch: processor time a line, of those beyond the first tenth", beyond, "µs")
    memory = [job.resident for job in large]
    yield Row("batch: memory, all processes, shared counted for each", memory, "MB", Figure(MOST_MB, most=True))
    yield Row("batch: memory, shared counted once", [job.proportional for job in large], "MB")
    tenth = Row(f"batch: {_TENTH}", [job.rate for job in small], "lines/s")
    yield tenth
    for what, unit, of_large, of_small in (
        ("time", "s", [job.seconds for job in large], [job.seconds for job in small]),
        ("memory", "MB", memory, [job.resident for job in small]),
    ):
        yield Row(f"growth with lines (x10): {what}", of_large, unit, against=(_TENTH, Row("", of_small, unit)))
