"""Cold derivation: the engine against its peers, on the same rules and questions, with the same answers."""

from __future__ import annotations

import itertools
from collections.abc import Callable, Iterator, Mapping, Sequence
from unittest.mock import patch

from splicewright.engine import Engine
from splicewright.question.facts import Facts, facts_of
from splicewright.question.model import Question
from splicewright.question.read import read_question
from splicewright.rulebook import load_rulebook
from tests.bench import peers
from tests.bench.peers.this_engine import ThisEngine
from tests.bench.questions import distinct
from tests.bench.rules import CODE, derived_rules
from tests.bench.sizes import Sizes
from tests.bench.table import Figure, Row
from tests.bench.timing import Work, each, in_turn

MOST_US_A_FIRING = 3.5
_SEED = 1


class Disagreement(Exception):
    """A peer that derives something else than the engine."""


def prepared(sizes: Sizes) -> dict[Question, Facts]:
    """Give the questions that the engines are asked, with their facts."""
    asked = (read_question(given).question for given in itertools.islice(distinct(_SEED), sizes.questions))
    return {question: facts_of(question) for question in asked}


def written_out(engine: Engine, facts: Mapping[Question, Facts]) -> Callable[[], object]:
    """Give the work of deriving every finding and writing out all that it rests on, the facts being there."""
    of_each = {id(question): one for question, one in facts.items()}

    def work() -> None:
        with patch("splicewright.engine.engine.facts_of", lambda question: of_each[id(question)]):
            for question in facts:
                for finding in engine.derive(question):
                    _ = finding.rests_on

    return work


def count_firings(facts: Mapping[Question, Facts]) -> int:
    """Count the firings of the rules that test something, checking that every peer gives the same ones."""
    rules, firings = derived_rules(), 0
    engine, others = ThisEngine(rules), [made(rules) for made in peers.installed()]
    for one in facts.values():
        expected = list(engine.fired(engine.ask(one)))
        firings += len(expected)
        for peer in others:
            says = peers.difference(peer, one, expected)
            if says:
                raise Disagreement(f"{says}\n{one}")
    return firings


def rows(sizes: Sizes) -> Iterator[Row]:
    """Measure the engine with proofs, and what it and each peer takes to tell what fires."""
    facts = prepared(sizes)
    firings, count = count_firings(facts), len(facts)
    rules = derived_rules()
    engine = ThisEngine(rules)
    others = [made(rules) for made in peers.installed()]
    works: dict[str, Work] = {"written": written_out(Engine(load_rulebook(CODE)), facts)}
    works |= {one.name: _asking(one, list(facts.values())) for one in (engine, *others)}
    found = in_turn(works, sizes.runs)
    figure = Figure(MOST_US_A_FIRING, most=True)
    yield Row(
        "cold derivation, a firing: rule and facts matched recorded", each(found[engine.name], firings), "µs", figure
    )
    yield Row("cold derivation, a firing: findings, proofs written out", each(found["written"], firings), "µs", figure)
    mean = f"{firings / count:.1f} firings, {len(rules)} rules"
    yield Row(f"the same, a question ({mean})", each(found["written"], count), "µs")
    clips = Row("", each(found["CLIPS"], count), "µs") if "CLIPS" in found else None
    recorded = Row(
        "rule and facts matched, a question: engine",
        each(found[engine.name], count),
        "µs",
        Figure(clips.median, most=True, words="CLIPS") if clips else None,
    )
    yield recorded
    for peer in others:
        yield Row(
            f"rule and facts matched: {peer.name}", each(found[peer.name], count), "µs", against=("engine", recorded)
        )


def _asking(peer: peers.Peer, facts: Sequence[Facts]) -> Work:
    def work() -> None:
        for one in facts:
            peer.ask(one)

    return work
