"""The facts of questions as read, measures included: what derivation begins with."""

from __future__ import annotations

import sys
from collections.abc import Mapping, Sequence
from typing import Any

import orjson

from splicewright.question.facts import facts_of
from splicewright.question.model import Question
from splicewright.question.read import read_question
from tests.bench.sides.timed import tell, timed


def laid_together(question: Question) -> tuple[Mapping[str, Any], Sequence[Mapping[str, Any]]]:
    """Give the single facts of a question, and those of its conductors."""
    facts = facts_of(question)
    return facts.single, facts.conductors


if __name__ == "__main__":
    counts = list[int]()
    asked = [read_question(orjson.loads(line)).question for line in sys.stdin.buffer.read().splitlines()]
    ns = timed(laid_together, asked, lambda found: counts.append(len(found[0])))
    tell(ns, facts=sum(counts))
