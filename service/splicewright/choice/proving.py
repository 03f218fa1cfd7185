"""Proves rulesets before they are used: reads them, looks for faults, runs every example through the real parts."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from splicewright.choice.chooser import Chooser
from splicewright.question.model import Asked
from splicewright.question.vocabulary import CODES
from splicewright.rulebook import Fault, Rule, RulebookFault, read_rulebook
from splicewright.rulebook.examples import failing_examples
from splicewright.rulebook.lint import lint


@dataclass(frozen=True, slots=True)
class Checked:
    """The faults found, or all rules of all editions where there are none."""

    faults: tuple[Fault, ...]
    rules: tuple[Rule, ...]
    by_code: Counter[str]
    examples: int


def check_rulesets(rulesets: Path) -> Checked:
    """Check every code edition of a folder of rulesets. Each rule's examples run under every edition it holds for."""
    faults: list[Fault] = []
    rules: dict[str, Rule] = {}
    by_code: Counter[str] = Counter()
    examples = 0
    chooser = Chooser(rulesets)
    for code in CODES:
        try:
            book = read_rulebook(rulesets, code)
        except RulebookFault as error:
            return Checked(error.faults, (), by_code, 0)
        by_code[code] = len(book.rules)
        rules |= {rule.id: rule for rule in book.rules}
        found = lint(book)
        if not found:
            found += _examples(book.rules, code, chooser)
            examples += sum(len(rule.fires) + len(rule.silent) for rule in book.rules)
        faults += found
    return Checked(tuple(sorted(set(faults))), tuple(rules[rule_id] for rule_id in sorted(rules)), by_code, examples)


def _examples(rules: tuple[Rule, ...], code: str, chooser: Chooser) -> Iterator[Fault]:
    fill_words = [rule for rule in rules if rule.effect.kind == "refuse"]
    derived = [rule for rule in rules if rule.effect.kind != "refuse"]
    yield from failing_examples(
        derived, code, lambda asked: {one.rule.id for one in chooser.engine(code).derive(asked.question)}
    )
    yield from failing_examples(fill_words, code, lambda asked: _refusing(chooser, asked))


def _refusing(chooser: Chooser, asked: Asked) -> set[str]:
    answer = chooser.answer(asked)
    return {reason["rule"] for one in answer["refusals"] for reason in one["because"]}
