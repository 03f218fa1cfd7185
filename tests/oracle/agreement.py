"""Puts generated questions to the engine and to the plain evaluator, and counts where they differ.

python -m tests.oracle.agreement --cases 100000 --seed 1
"""

from __future__ import annotations

import argparse
import random
import sys
import time
from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path

from splicewright.engine import Engine, Finding
from splicewright.question.facts import facts_of
from splicewright.question.model import Question
from splicewright.question.read import read_question
from splicewright.question.vocabulary import CODES
from splicewright.rulebook import load_rulebook
from splicewright.rulebook.model import Rulebook
from tests.oracle.plain import evaluate
from tests.oracle.questions import random_given, random_question
from tests.oracle.rulebooks import random_rulebook

A_RULEBOOK = 200  # questions put to each


@dataclass(frozen=True)
class Case:
    """A question put to a rulebook."""

    rulebook: Rulebook
    question: Question


def difference(engine: Engine, case: Case) -> str:
    """Tell where the engine and the plain evaluator differ; empty where they agree."""
    facts = facts_of(case.question)
    firings = [(firing.rule.id, firing.conductors, firing.conditions) for firing in engine.firings(facts)]
    expected = evaluate(case.rulebook.derived, facts)
    found = set(firings)
    if len(found) != len(firings):
        return f"fired twice: {sorted(one for one in found if firings.count(one) > 1)}"
    if found != expected:
        return f"only the engine: {sorted(found - expected)}\nonly the plain one: {sorted(expected - found)}"
    return ""


def order_matters(engine: Engine, case: Case, rng: random.Random) -> str:
    """Tell what differs when the conductors of a question, or the rules, come in another order."""
    joint = case.question.joint
    shuffled = replace(joint, conductors=tuple(rng.sample(joint.conductors, len(joint.conductors))))
    question = replace(case.question, joint=shuffled)
    expected = [_unplaced(finding, case.question) for finding in engine.derive(case.question).findings]
    found = [_unplaced(finding, question) for finding in engine.derive(question).findings]
    return "" if found == expected else f"conductors as {shuffled.conductors}:\n{found}\nnot\n{expected}"


def rules_order_matters(case: Case, rng: random.Random) -> str:
    """Tell what differs when the rules come in another order."""
    rules = rng.sample(case.rulebook.rules, len(case.rulebook.rules))
    concerns = rng.sample(case.rulebook.concerns, len(case.rulebook.concerns))
    other = Engine(replace(case.rulebook, rules=tuple(rules), concerns=tuple(concerns)))
    engine = Engine(case.rulebook)
    found, expected = other.derive(case.question).findings, engine.derive(case.question).findings
    other.close()
    engine.close()
    return "" if found == expected else f"rules as {[rule.id for rule in rules]}:\n{found}\nnot\n{expected}"


def _unplaced(finding: Finding, question: Question) -> tuple[object, ...]:
    """Give a finding with the conductors themselves in place of their indexes."""
    conductors = sorted(repr(question.joint.conductors[at]) for at in finding.conductors)
    return finding.rule.id, finding.says, finding.do, finding.rests_on, finding.tests, conductors


def cases(count: int, seed: int) -> Iterator[tuple[Engine, Case]]:
    """Give so many cases: every fifth rulebook is one of those shipped, the others are generated."""
    rng = random.Random(seed)
    shipped = [load_rulebook(code) for code in CODES]
    for batch in range(-(-count // A_RULEBOOK)):
        rulebook = rng.choice(shipped) if batch % 5 == 4 else random_rulebook(rng, rng.randint(1, 60))
        engine = Engine(rulebook)
        for at in range(min(A_RULEBOOK, count - batch * A_RULEBOOK)):
            question = read_question(random_given(rng)).question if at % 20 == 0 else random_question(rng)
            yield engine, Case(rulebook, question)
        engine.close()


def resident() -> float:
    """Give this process's resident memory in MB."""
    pages = int(Path("/proc/self/statm").read_text(encoding="ascii").split()[1])
    return pages * 4096 / 1e6


def main(arguments: list[str] | None = None) -> int:
    """Run so many cases and print what came of it. Gives 1 where anything differed."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--cases", type=int, default=10_000)
    parser.add_argument("--seed", type=int, default=0)
    options = parser.parse_args(arguments)
    rng = random.Random(options.seed)
    memory, mismatches = [resident()], 0
    started = time.perf_counter()
    for at, (engine, case) in enumerate(cases(options.cases, options.seed)):
        says = difference(engine, case) or (order_matters(engine, case, rng) if at % 10 == 0 else "")
        if not says and at % A_RULEBOOK == 0:
            says = rules_order_matters(case, rng)
        if says:
            mismatches += 1
            if mismatches == 1:
                sys.stdout.write(f"{says}\n{case.question}\n{facts_of(case.question)}\n{case.rulebook.rules}\n")
        if at == options.cases // 2:
            memory.append(resident())
    seconds = time.perf_counter() - started
    memory.append(resident())
    sys.stdout.write(
        f"{options.cases} cases, {mismatches} mismatches, {options.cases / seconds:.0f} cases/s, "
        f"resident MB at start, middle and end: {', '.join(f'{each:.0f}' for each in memory)}\n"
    )
    return 1 if mismatches else 0


if __name__ == "__main__":
    sys.exit(main())
