"""Puts generated questions to the chooser and checks what must hold for every answer.

python -m tests.choice.invariants --questions 200000 --seed 1

What a joint asks of a connector is reckoned here anew, from the question as it was sent and the connector's listing:
no demand and no proof is taken at its word.
"""

from __future__ import annotations

import argparse
import random
import sys
import time
from collections import Counter
from collections.abc import Callable, Iterator, Mapping

import orjson

from splicewright.answering import Chooser
from splicewright.rulebook import Rule
from tests.as_sent import apart_from_as_sent
from tests.choice.case import Case, Plain
from tests.choice.each_option import options
from tests.choice.likely import likely_given
from tests.choice.whole_answer import cautions, everything_told, outcome, proofs, sentences, short_circuits
from tests.oracle.agreement import resident
from tests.remedies.each_remedy import remedies

AGAIN = 10  # one question of so many is asked again in another order, and its remedies are asked


def shuffled(given: Plain, rng: random.Random) -> Plain:
    """Give the question with its conductors in another order, some of those that are alike written one by one."""
    single = []
    for conductor in given["joint"]["conductors"]:
        count = conductor.get("count", 1)
        split = rng.random() < 0.5
        single += [{**conductor, "count": 1}] * count if split else [conductor]
    single = rng.sample(single, len(single))
    return {**given, "joint": {**given["joint"], "conductors": single}}


def asked_again(chooser: Chooser, case: Case, rng: random.Random) -> Iterator[str]:
    """Check that order changes nothing, and that every remedy leads to what it says."""
    other = shuffled(case.given, rng)
    if apart_from_as_sent(chooser.choose(other)) != apart_from_as_sent(case.answer):
        yield f"is answered otherwise in another order: {other}"
    yield from remedies(chooser, case)


CHECKS: tuple[Callable[[Case], Iterator[str]], ...] = (
    outcome, short_circuits, everything_told, sentences, proofs, cautions, options,
)  # fmt: skip


def violations(case: Case) -> list[str]:
    """Give everything that does not hold for a case."""
    return [f"{check.__name__}: {says}" for check in CHECKS for says in check(case)]


class Asking:
    """Asks generated questions, each answered anew, and checks the answers."""

    def __init__(self, seed: int) -> None:
        """Ask the questions of one seed."""
        self.chooser = Chooser(cache_bytes=0)
        self.connectors = {connector.id: connector for connector in self.chooser.catalogue("shop").connectors}
        self._rng = random.Random(seed)
        self._rules: dict[str, Mapping[str, Rule]] = {}

    def rules(self, code: str) -> Mapping[str, Rule]:
        """Give the rules of a code edition by id."""
        if code not in self._rules:
            self._rules[code] = {rule.id: rule for rule in self.chooser.engine(code).rulebook.rules}
        return self._rules[code]

    def case(self, given: Plain) -> Case:
        """Ask one question."""
        answer = self.chooser.choose(given)
        return Case(given, answer, self.rules(answer["rulesets"]["code"]), self.connectors)

    def cases(self, count: int) -> Iterator[tuple[Case, list[str]]]:
        """Ask so many questions and give each with what does not hold for it."""
        for at in range(count):
            case = self.case({**likely_given(self._rng), "limit": 100})
            found = violations(case)
            if at % AGAIN == 0:
                found += [f"asked_again: {says}" for says in asked_again(self.chooser, case, self._rng)]
            yield case, found


def main(arguments: list[str] | None = None) -> int:
    """Ask so many questions and print what came of it. Gives 1 where anything did not hold."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--questions", type=int, default=10_000)
    parser.add_argument("--seed", type=int, default=0)
    arguments_read = parser.parse_args(arguments)
    asking, outcomes, broken = Asking(arguments_read.seed), Counter[str](), Counter[str]()
    memory, started = [resident()], time.perf_counter()
    for at, (case, found) in enumerate(asking.cases(arguments_read.questions)):
        outcomes[case.answer["outcome"]] += 1
        if found and not broken:
            sys.stdout.write("\n".join([*found, orjson.dumps(case.given).decode(), repr(case.answer), ""]))
        broken.update({says.partition(":")[0] for says in found})
        if at == arguments_read.questions // 2:
            memory.append(resident())
    seconds = time.perf_counter() - started
    memory.append(resident())
    counts = ", ".join(f"{count} {name}" for name, count in outcomes.most_common())
    told = ", ".join(f"{count} of {name}" for name, count in broken.most_common()) or "no"
    sys.stdout.write(
        f"{arguments_read.questions} questions: {counts}; {told} violations; "
        f"{arguments_read.questions / seconds:.0f} questions/s, "
        f"resident MB at start, middle and end: {', '.join(f'{each:.0f}' for each in memory)}\n"
    )
    return 1 if broken else 0


if __name__ == "__main__":
    sys.exit(main())
