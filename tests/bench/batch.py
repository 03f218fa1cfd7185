"""`splicewright batch` as a process of its own, on long files of repeated questions: lines a second, and memory."""

from __future__ import annotations

import filecmp
import random
import subprocess
import tempfile
import time
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

import orjson

from splicewright.units import counted
from tests.bench.answers import REPEATED_QUESTIONS, with_ids
from tests.bench.proc import Peak
from tests.bench.processes import splicewright
from tests.bench.questions import lines
from tests.bench.sizes import Sizes
from tests.bench.table import Figure, Row
from tests.bench.timing import children_seconds

LINES_A_SECOND, OF_LINES = 60_000, 1_000_000  # in a job of so many lines: a smaller one is mostly start-up
MOST_MB = 300
WORTH, OF_FORMS = 1.7, 300_000  # a second worker, in a job of so many lines
_SEED = 5
_BLOCK = 1 << 20
_SIZES, _MORE_CONDUCTORS = ("14 AWG", "10 AWG"), (4, 5, 1)  # of ten questions so many have none, one, two more
_TENTH = "a tenth of the lines"


@dataclass(frozen=True)
class Job:
    """What one job took, start-up included."""

    lines: int
    seconds: float
    processor_seconds: float  # of all its processes together
    resident: float = 0  # MB of all its processes at the worst moment, memory that they share counted for each
    proportional: float = 0  # the same, shared memory counted once

    @property
    def rate(self) -> float:
        """The lines a second."""
        return self.lines / self.seconds


def run(questions: Path, answers: Path, count: int, *options: str, watched: bool = False) -> Job:
    """Run one job; only where it is `watched` is its memory told. Raises ValueError where not every line was answered.

    Watching takes a part of a processor, and holds the processes up that are looked at.
    """
    with children_seconds() as used, answers.open("wb") as out:
        started = time.perf_counter()
        with subprocess.Popen(splicewright("batch", str(questions), "--quiet", *options), stdout=out) as process:
            peak = Peak(process.pid)
            if watched:
                peak.start()
            status = process.wait()
            seconds = time.perf_counter() - started
            if watched:
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


def write_forms(path: Path, count: int) -> int:
    """Write so many lines that ask 1,000 questions, their conductors in any order, each line with an id of its own.

    Gives in how many forms they are asked.
    """
    rng = random.Random(_SEED)
    questions = []
    for line in lines(_SEED, min(REPEATED_QUESTIONS, count)):
        joint = (given := orjson.loads(line))["joint"]
        more = rng.choices(range(3), _MORE_CONDUCTORS)[0]
        joint["conductors"] += [{**joint["conductors"][0], "size": size, "count": 1} for size in _SIZES[:more]]
        questions.append(given)
    forms = set()
    with path.open("wb") as stream:
        for at in range(count):
            given = rng.choice(questions)
            rng.shuffle(given["joint"]["conductors"])
            form = orjson.dumps(given)
            forms.add(form)
            stream.write(b'{"id":"%d",' % at + form[1:] + b"\n")
    return len(forms)


def rows(sizes: Sizes) -> Iterator[Row]:
    """Measure a job, one of a tenth of its lines, and what a second worker is worth."""
    yield from _in_length(sizes)
    yield from _in_workers(sizes)


def _in_workers(sizes: Sizes) -> Iterator[Row]:
    count = 3 * sizes.lines // 10
    jobs: dict[int, list[Job]] = {1: [], 2: []}
    with tempfile.TemporaryDirectory() as folder:
        questions, answers = Path(folder) / "questions", [Path(folder) / f"answers-{workers}" for workers in jobs]
        forms = write_forms(questions, count)
        for _ in range(sizes.batches):
            for (workers, found), path in zip(jobs.items(), answers, strict=True):
                found.append(run(questions, path, count, "--workers", str(workers)))
        if not filecmp.cmp(*answers, shallow=False):
            raise ValueError("two workers gave other bytes than one")
        halves = _halves(questions)
        given = [_beside_each_other(halves) for _ in range(sizes.batches)]
    for workers, found in jobs.items():
        what = f"batch: {count:,} lines in {forms:,} forms, {counted(workers, 'worker')}"
        yield Row(what, [job.rate for job in found], "lines/s")
        yield Row(f"{what}: processor time", [job.processor_seconds for job in found], "s")
    worth = [one.seconds / two.seconds for one, two in zip(*jobs.values(), strict=True)]
    least = Figure(WORTH, most=False) if count >= OF_FORMS else None
    yield Row("batch: two workers against one, each run with the one before it", worth, "times", least)
    what = "two jobs of half the lines beside each other against one alone: what the machine's processors give"
    yield Row(f"batch: {what}", given, "times")


def _halves(questions: Path) -> list[Path]:
    lines = questions.read_bytes().splitlines(keepends=True)
    halves = [questions.with_name(f"half-{number}") for number in (1, 2)]
    for number, path in enumerate(halves):
        path.write_bytes(b"".join(lines[number::2]))
    return halves


def _beside_each_other(halves: Sequence[Path]) -> float:
    """Give how much of one job's speed two jobs have that share nothing, each with one worker: 2 on a perfect machine.

    Two workers of one job can't have more, but for the questions that one of them need not meet anew.
    """
    took = []
    for some in (halves[:1], halves):
        started = time.perf_counter()
        jobs = []
        for half in some:
            with half.with_suffix(".answers").open("wb") as out:
                jobs.append(subprocess.Popen(splicewright("batch", str(half), "--quiet", "--workers", "1"), stdout=out))
        ended = [job.wait() for job in jobs]
        took.append(time.perf_counter() - started)
        if any(ended):
            raise ValueError("a half of the batch was not answered")
    return 2 * took[0] / took[1]


def _in_length(sizes: Sizes) -> Iterator[Row]:
    jobs: dict[int, list[Job]] = {sizes.lines // 10: [], sizes.lines: []}
    with tempfile.TemporaryDirectory() as folder:
        answers = Path(folder) / "answers"
        questions = {count: Path(folder) / f"questions-{count}" for count in jobs}
        for count, path in questions.items():
            write_job(path, count)
        for _ in range(sizes.batches):
            for count, path in questions.items():
                jobs[count].append(run(path, answers, count, watched=True))
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
