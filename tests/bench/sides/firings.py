"""What fires on the facts of questions, by the engine or by a peer named as in the table; the facts are there."""

from __future__ import annotations

import sys

import orjson

from splicewright.question.facts import facts_of
from splicewright.question.read import read_question
from tests.bench import peers
from tests.bench.peers.this_engine import ThisEngine
from tests.bench.rules import derived_rules
from tests.bench.sides.timed import tell, timed

if __name__ == "__main__":
    made = {one.name: one for one in (ThisEngine, *peers.installed())}[sys.argv[1]](derived_rules())
    asked = [facts_of(read_question(orjson.loads(line)).question) for line in sys.stdin.buffer.read().splitlines()]
    for facts in asked:
        _ = facts.single, facts.conductors  # laid together when first asked for
    counts = list[int]()
    ns = timed(made.ask, asked, lambda answer: counts.append(len(list(made.fired(answer)))))
    tell(ns, firings=sum(counts))
