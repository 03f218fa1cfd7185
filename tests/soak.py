"""A long run in one process: many questions from several threads while the rules are reloaded again and again.

`python -m tests.soak` asks a million questions with a thousand reloads and takes about half an hour on two cores. It
prints a line for each tenth and exits with 1 on a wrong answer, or where memory at the end is more than 5% above that
after the first tenth. Then several forked workers answer the same questions. Every answer is compared with what a
chooser of its own, without a cache and without threads, gave before.
"""

from __future__ import annotations

import argparse
import hashlib
import os
import random
import shutil
import sys
import tempfile
import threading
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path

import orjson

from splicewright import shipped
from splicewright.answering import Chooser
from splicewright.answering.chooser import settle
from splicewright.choice.loaded_rules import LoadedRules
from tests.oracle.questions import random_given

CODE, CATALOGUE = "nfpa70-2023", "shop"
CACHE_BYTES = 3_000_000  # less than the answers take, so that some are found and some are not
TENTHS = 10


@dataclass
class Run:
    """What the threads share."""

    chooser: Chooser
    questions: list[bytes]
    right: list[frozenset[bytes]]
    total: int
    wrong: list[bytes] = field(default_factory=list)
    asked: int = 0
    lock: threading.Lock = field(default_factory=threading.Lock)
    turn: threading.Condition = field(default_factory=threading.Condition)

    def ask(self, seed: int) -> None:
        """Ask questions at random until enough were asked in all."""
        draw = random.Random(seed)
        while self.asked < self.total:
            at = draw.randrange(len(self.questions))
            answer = digest(self.chooser.answer_json(self.questions[at], explain="brief"))
            with self.lock:
                self.asked += 1
                if answer not in self.right[at]:
                    self.wrong.append(self.questions[at])


def digest(answer: bytes) -> bytes:
    return hashlib.sha256(answer).digest()


def resident_mb() -> float:
    pages = int(Path("/proc/self/statm").read_text(encoding="ascii").split()[1])
    return pages * os.sysconf("SC_PAGE_SIZE") / 1e6


def variants(folder: Path) -> list[Path]:
    """Write two folders of rulesets that differ in one sentence."""
    found = []
    for name in ("one", "other"):
        shutil.copytree(shipped.folder("rulesets"), folder / name)
        found.append(folder / name)
    path = found[1] / "nfpa70" / "environment.yaml"
    text = path.read_text(encoding="utf-8")
    path.write_text(text.replace("says: ", "says: Otherwise. ", 1), encoding="utf-8")
    return found


def loaded(folder: Path) -> LoadedRules:
    holding = LoadedRules(folder)
    holding.rules(CODE)
    holding.index(CATALOGUE)
    return holding


def take(run: Run, folder: Path) -> None:
    """Take other rules into use, as a server does."""
    run.chooser.use(loaded(folder))
    settle()


def expected(folder: Path, questions: list[bytes]) -> list[bytes]:
    chooser = Chooser(folder, cache_bytes=0)
    return [digest(chooser.answer_json(question, explain="brief")) for question in questions]


def soak(run: Run, folders: list[Path], reloads: int, threads: int, tell: Callable[[str], None]) -> float:
    """Run it and give the growth of memory after the first tenth, as a fraction."""
    workers = [threading.Thread(target=run.ask, args=(seed,)) for seed in range(threads)]
    for worker in workers:
        worker.start()
    done, warm, tenth = 0, 0.0, 1
    while any(worker.is_alive() for worker in workers):
        if done < reloads and run.asked * reloads >= done * run.total:
            take(run, folders[done % 2])
            done += 1
        else:
            workers[0].join(0.01)
        if run.asked * TENTHS >= tenth * run.total:
            memory = resident_mb()
            warm = warm or memory
            tell(f"{run.asked:>9} questions, {done:>5} reloads, {memory:6.1f} MB, {len(run.wrong)} wrong")
            tenth += 1
    while done < reloads:
        take(run, folders[done % 2])
        done += 1
    return resident_mb() / warm - 1


def forked(run: Run, count: int) -> int:
    """Answer all questions in forked workers and count those that met a wrong answer or did not end well."""
    children = []
    for number in range(count):
        child = os.fork()
        if child == 0:
            order = random.Random(number).sample(range(len(run.questions)), len(run.questions))
            answers = ((at, run.chooser.answer_json(run.questions[at], explain="brief")) for at in order)
            os._exit(any(digest(answer) not in run.right[at] for at, answer in answers))
        children.append(child)
    return sum(os.waitpid(child, 0)[1] != 0 for child in children)


def main(arguments: list[str] | None = None) -> int:
    """Run from the command line; gives the exit status."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--questions", type=int, default=1_000_000)
    parser.add_argument("--different", type=int, default=1_000)
    parser.add_argument("--reloads", type=int, default=1_000)
    parser.add_argument("--threads", type=int, default=8)
    parser.add_argument("--workers", type=int, default=4)
    parser.add_argument("--seed", type=int, default=1)
    given = parser.parse_args(arguments)
    draw = random.Random(given.seed)
    questions = [orjson.dumps(random_given(draw)) for _ in range(given.different)]
    with tempfile.TemporaryDirectory() as folder:
        folders = variants(Path(folder))
        right = [frozenset(pair) for pair in zip(*(expected(one, questions) for one in folders), strict=True)]
        run = Run(Chooser(folders[0], cache_bytes=CACHE_BYTES), questions, right, given.questions)
        growth = soak(run, folders, given.reloads, given.threads, print)
        failed = forked(run, given.workers)
    print(f"{len(run.wrong)} wrong answers, memory {growth:+.1%}, {failed} of {given.workers} forked workers failed")
    for question in run.wrong[:1]:
        print(question.decode())
    return 1 if run.wrong or failed or growth > 0.05 else 0


if __name__ == "__main__":
    sys.exit(main())
