"""Cold derivation: the engine against its peers, on the same rules and questions, with the same answers."""

from __future__ import annotations

import itertools
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
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


Batch = Mapping[Question, Facts]


def prepared(sizes: Sizes) -> list[Batch]:
    """Give the questions that the engines are asked, with their facts: for each run others, never asked before.

    The engine remembers findings, so that asking the same again would measure its memory.
    """
    asked = (read_question(given).question for given in distinct(_SEED))
    of_runs = ([*itertools.islice(asked, sizes.questions)] for _ in range(sizes.runs + 1))  # the first is not counted
    return [{question: facts_of(question) for question in some} for some in of_runs]


def written_out(engine: Engine, batches: Sequence[Batch]) -> Callable[[], object]:
    """Give the work of deriving every finding and writing out all that it rests on, the facts being there.

    Each time it is done it takes the next batch.
    """
    upcoming = itertools.cycle(batches)

    def work() -> None:
        facts = next(upcoming)
        of_each = {id(question): one for question, one in facts.items()}
        with patch("splicewright.engine.compiled_rulebook.facts_of", lambda question: of_each[id(question)]):
            for question in facts:
                for kind in engine.derive(question).kinds:
                    for finding in kind:
                        _ = finding.rests_on

    return work


def count_firings(facts: Iterable[Facts]) -> int:
    """Count the firings of the rules that test something, checking that every peer gives the same ones."""
    rules, firings = derived_rules(), 0
    engine, others = ThisEngine(rules), [made(rules) for made in peers.installed()]
    for one in facts:
        expected = list(engine.fired(engine.ask(one)))
        firings += len(expected)
        for peer in others:
            says = peers.difference(peer, one, expected)
            if says:
                raise Disagreement(f"{says}\n{one}")
    return firings


def rows(sizes: Sizes) -> Iterator[Row]:
    """Measure the engine with proofs, and what it and each peer takes to tell what fires."""
    batches = prepared(sizes)
    count = len(batches[0])
    firings = count_firings(one for some in batches for one in some.values()) / len(batches)
    rules = derived_rules()
    engine = ThisEngine(rules)
    others = [made(rules) for made in peers.installed()]
    works: dict[str, Work] = {"written": written_out(Engine(load_rulebook(CODE)), batches)}
    works |= {one.name: _asking(one, batches) for one in (engine, *others)}
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


def _asking(peer: peers.Peer, batches: Sequence[Batch]) -> Work:
    upcoming = itertools.cycle(batches)

    def work() -> None:
        for one in next(upcoming).values():
            peer.ask(one)

    return work
