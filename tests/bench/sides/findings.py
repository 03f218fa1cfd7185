"""Every finding of questions as read, with all that it rests on: what answers are made from."""

from __future__ import annotations

import sys
from collections.abc import Sequence

import orjson

from splicewright.engine import Engine
from splicewright.question.model import Question
from splicewright.question.read import read_question
from splicewright.rulebook import load_rulebook
from tests.bench.rules import CODE
from tests.bench.sides.timed import tell, timed


def found(engine: Engine, question: Question) -> list[Sequence[str]]:
    """Give what each finding rests on, written out."""
    return [one.rests_on for kind in engine.derive(question).kinds for one in kind]


if __name__ == "__main__":
    engine, counts = Engine(load_rulebook(CODE)), list[int]()
    asked = [read_question(orjson.loads(line)).question for line in sys.stdin.buffer.read().splitlines()]
    ns = timed(lambda question: found(engine, question), asked, lambda some: counts.append(len(some)))
    tell(ns, findings=sum(counts))
