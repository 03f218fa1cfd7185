"""What a further stack of amendments costs: memory, and a question that was asked under another one before."""

from __future__ import annotations

import itertools
import os
import random
import shutil
import tempfile
import time
from collections.abc import Iterator, Sequence
from dataclasses import replace
from pathlib import Path

from splicewright import shipped
from splicewright.answering import Chooser
from splicewright.question.model import Question
from tests.bench.proc import resident
from tests.bench.sizes import Sizes
from tests.bench.table import Figure, Row
from tests.oracle.questions import random_question

AMENDMENTS = 8  # of one rule each; any two of them, in either order, are a stack
MOST_MB = 1.0  # of a stack
MOST_SHARE = 0.5  # of a cold question
_CODE = "nfpa70-2023"
_FILE = """ruleset: house-{number}
about: One rule of a house.
amends: every-code
rules:
  - id: mind-tag
    when: [{{joint: {{tags: {{includes: t{number}}}}}}}]
    caution: true
    says: Mind what is written on the sheet.
    source: common-practice
    examples: {{fires: [{{joint: {{tags: [t{number}]}}}}], silent: [{{}}]}}
"""


def rows(sizes: Sizes) -> Iterator[Row]:
    """Measure the memory of stacks, then questions under a further one."""
    with tempfile.TemporaryDirectory() as folder:
        chooser = Chooser(_rulesets(Path(folder) / "rulesets"), cache_bytes=0)
        chooser.warm_up()
        stacks = [(), *itertools.permutations([f"house-{number}" for number in range(AMENDMENTS)], 2)]
        chooser.holding.rules(_CODE, stacks[1])
        before = resident(os.getpid())
        for stack in stacks[2:]:
            chooser.holding.match(_question(random.Random(1), stack))
        yield Row(
            f"a further stack of amendments: memory, over {len(stacks) - 2} of them",
            [max(0.0, (resident(os.getpid()) - before) / 1e6 / (len(stacks) - 2))],
            "MB",
            Figure(MOST_MB, most=True),
        )
        yield from _asked_again(chooser, stacks, sizes)


def _asked_again(chooser: Chooser, stacks: Sequence[tuple[str, ...]], sizes: Sizes) -> Iterator[Row]:
    rng, shares = random.Random(3), list[float]()
    for run in range(sizes.runs + 1):
        cold = again = 0.0
        for _ in range(sizes.few):
            question = replace(random_question(rng), code=_CODE)
            first = time.process_time()
            _answer(chooser, question, ())
            second = time.process_time()
            _answer(chooser, question, stacks[1])
            cold, again = cold + second - first, again + time.process_time() - second
        if run:
            shares.append(again / cold)
    yield Row(
        "a question under a further stack, asked under another one just before: of a cold one",
        shares,
        "share",
        Figure(MOST_SHARE, most=True),
    )


def _answer(chooser: Chooser, question: Question, stack: tuple[str, ...]) -> None:
    chooser.holding.match(replace(question, amendments=stack)).options  # noqa: B018 - what takes the time


def _question(rng: random.Random, stack: tuple[str, ...]) -> Question:
    return replace(random_question(rng), code=_CODE, amendments=stack)


def _rulesets(folder: Path) -> Path:
    shutil.copytree(shipped.folder("rulesets"), folder)
    for number in range(AMENDMENTS):
        (folder / "amendments" / f"house-{number}.yaml").write_text(_FILE.format(number=number))
    return folder
