"""Changes every shipped rule in small ways and counts how many changes an example or a case turns red.

python -m tests.rules.mutants --ruleset environment
"""

from __future__ import annotations

import argparse
import sys
import time
from collections.abc import Iterable
from dataclasses import dataclass

from splicewright.question.vocabulary import CODES
from splicewright.rulebook import Rule, load_rulebook
from tests.rules.killing import Corpus
from tests.rules.mutations import Mutant, of_effect, of_when

LEAST = 95  # percent


@dataclass(frozen=True)
class Tally:
    """What came of the mutants of some rules."""

    mutants: int
    survivors: tuple[Mutant, ...]

    @property
    def killed(self) -> int:
        """How many turned something red."""
        return self.mutants - len(self.survivors)

    @property
    def percent(self) -> float:
        """How many of a hundred turned something red."""
        return 100 * self.killed / self.mutants if self.mutants else 100.0

    def __str__(self) -> str:
        """Give it as a line of the report."""
        return f"{self.mutants:5} mutants {self.killed:5} killed {self.percent:6.1f} %"


def shipped() -> dict[str, tuple[str, Rule]]:
    """Give each rule with the newest edition that it holds for."""
    return {rule.id: (code, rule) for code in sorted(CODES) for rule in load_rulebook(code).rules}


def mutants_of(corpus: Corpus, rules: Iterable[Rule], part: str) -> list[Mutant]:
    """Give the mutants of some rules: of their `when`, or of their `effect`."""
    of = of_when if part == "when" else of_effect
    return [mutant for rule in rules for mutant in of(rule, corpus.concluded)]


def tally(corpus: Corpus, mutants: Iterable[Mutant]) -> Tally:
    """Try mutants on every example and case that they could turn red."""
    found = list(mutants)
    return Tally(len(found), corpus.survivors(found))


def main(arguments: list[str] | None = None) -> int:
    """Print what came of it by ruleset. Gives 1 where too few mutants turned something red."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--ruleset", help="only this one")
    options = parser.parse_args(arguments)
    started = time.perf_counter()
    corpus = Corpus()
    rules = [rule for _, rule in shipped().values() if options.ruleset in (None, rule.ruleset)]
    found: dict[str, list[Tally]] = {"when": [], "effect": []}
    for ruleset in sorted({rule.ruleset for rule in rules}):
        for part, tallies in found.items():
            mine = [rule for rule in rules if rule.ruleset == ruleset]
            tallies.append(tally(corpus, mutants_of(corpus, mine, part)))
            sys.stdout.write(f"{ruleset:20} {part:6} {tallies[-1]}\n")
            for survivor in tallies[-1].survivors:
                sys.stdout.write(
                    f"    {survivor.rule.file}:{survivor.rule.line}: {survivor.rule.id}: {survivor.what}\n"
                )
    totals = {part: together(tallies) for part, tallies in found.items()}
    totals["both"] = together([*totals.values()])
    for part, total in totals.items():
        sys.stdout.write(f"{'all':20} {part:6} {total}\n")
    sys.stdout.write(f"{time.perf_counter() - started:.1f} s\n")
    return 0 if min(totals["when"].percent, totals["both"].percent) >= LEAST else 1


def together(tallies: list[Tally]) -> Tally:
    """Add up tallies."""
    return Tally(sum(one.mutants for one in tallies), tuple(each for one in tallies for each in one.survivors))


if __name__ == "__main__":
    sys.exit(main())
