"""Where in a question the reason of a finding stands: the stated word that it rests on."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from splicewright.question.facts import FactLine
from splicewright.question.read import DEFAULTS
from splicewright.reading import join

Plain = Mapping[str, Any]


def pointer_of(rests_on: Iterable[str], answer: Plain, question: Plain) -> str:
    """Give the pointer of a word that the question states and the finding rests on; "" where there is none.

    One that is not the default goes before one that is, and what the finding itself names before what lies behind it.
    """
    stated = [pair for fact in _facts(rests_on, answer) for pair in _stated(fact, question)]
    telling = [pointer for pointer, usual in stated if not usual]
    return (telling or [pointer for pointer, _ in stated] or [""])[0]


def _facts(rests_on: Iterable[str], answer: Plain) -> Iterator[FactLine]:
    """Give the facts at the end of each chain, the nearest first."""
    behind = {finding["rule"]: finding.get("from", ()) for finding in answer.get("findings", ())}
    level, seen = list(rests_on), set[str]()
    while level:
        facts = {line: FactLine.read(line) for line in level}
        yield from (fact for line in level if (fact := facts[line]))
        rules = {line for line, fact in facts.items() if fact is None} - seen
        seen |= rules
        level = [one for rule in sorted(rules) for one in behind.get(rule, ())]


def _stated(fact: FactLine, question: Plain) -> Iterator[tuple[str, bool]]:
    """Give the pointer of a fact where the question states it, and whether it is what would be assumed anyway."""
    part, _, leaf = fact.name.partition(".")
    if part == "conductor":
        conductors = question["joint"]["conductors"]
        for at, conductor in enumerate(conductors):
            if leaf in conductor and _same(conductor[leaf], fact.told):
                yield join("/joint/conductors", at, leaf), conductor[leaf] == DEFAULTS["conductor"].get(leaf)
                return
    elif isinstance(question.get(part), Mapping) and leaf in question[part]:
        usual = DEFAULTS.get(f"/{part}", {}).get(leaf)
        yield f"/{part}/{leaf}", question[part][leaf] == usual


def _same(given: Any, told: str) -> bool:
    return told in given if isinstance(given, list) else str(given) == told
