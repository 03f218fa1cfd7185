"""Cold derivation: the engine against its peers, on the same rules and questions, with the same answers.

Each side is a process of its own in each run, asked questions that it has never seen, the facts being there.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

import orjson

from splicewright.question.facts import Facts, facts_of
from splicewright.question.read import read_question
from tests.bench import peers
from tests.bench.pairs import Side, Spread, Taken, paired
from tests.bench.peers.this_engine import ThisEngine
from tests.bench.questions import the_set
from tests.bench.rules import derived_rules
from tests.bench.sizes import Sizes
from tests.bench.table import Figure, Measured, Row

MOST_US_A_FIRING = 3.5
CLIPS = "CLIPS"
_ENGINE, _FACTS, _FINDINGS = ThisEngine.name, "facts", "findings"


class Disagreement(Exception):
    """A peer that derives something else than the engine."""


def count_firings(facts: Iterable[Facts]) -> int:
    """Count the firings of the rules that test something, checking that every peer gives the same ones."""
    rules, firings = derived_rules(), 0
    engine, others = ThisEngine(rules), [made(rules) for made in peers.installed()]
    for fact in facts:
        expected = list(engine.fired(engine.ask(fact)))
        firings += len(expected)
        for peer in others:
            says = peers.difference(peer, fact, expected)
            if says:
                raise Disagreement(f"{says}\n{fact}")
    return firings


def rows(sizes: Sizes) -> Iterator[Measured]:
    """Measure the engine with proofs, and what it and each peer takes to tell what fires."""
    asked = the_set(sizes.questions)
    firings = count_firings(facts_of(read_question(orjson.loads(line)).question) for line in asked) / len(asked)
    names = [made.name for made in peers.installed()]
    sides = {name: Side("firings", (name,)) for name in (_ENGINE, *(name for name in names if name == CLIPS))}
    found = paired({**sides, _FACTS: Side("facts"), _FINDINGS: Side("findings")}, asked, sizes.runs)
    engine = found[_ENGINE]
    figure = Figure(MOST_US_A_FIRING, most=True)
    yield Row("cold derivation, a firing: rule and facts matched recorded", _each(engine, firings), "µs", figure)
    pairs = zip(_each(found[_FINDINGS], firings), _each(found[_FACTS], firings), strict=True)
    beyond = [whole - facts for whole, facts in pairs]
    yield Row("cold derivation, a firing: findings, proofs written out, beyond the facts", beyond, "µs", figure)
    yield Row("cold derivation, a question: its facts", _each(found[_FACTS]), "µs")
    mean = f"{firings:.1f} firings, {len(derived_rules())} rules"
    whole = f"cold derivation, a question: facts, findings, proofs written out ({mean})"
    yield Row(whole, _each(found[_FINDINGS]), "µs")
    yield Row("rule and facts matched, a question: engine", _each(engine), "µs")
    if CLIPS in found:
        yield from _against_clips(engine, found[CLIPS])
    few = asked[: sizes.few]
    others = paired({name: Side("firings", (name,)) for name in names if name != CLIPS}, few, sizes.runs)
    of_few = [Taken(one.ns[: sizes.few]) for one in engine]
    alone = Row("", _each(of_few), "µs")
    for name, taken in others.items():
        what = f"rule and facts matched: {name}, of the first {len(few):,}"
        yield Row(what, _each(taken), "µs", against=("engine", alone))
    yield from (Spread(f"rule and facts matched: {name}", found[name]) for name in sides)
    yield Spread("facts of a question", found[_FACTS])
    yield Spread("facts, findings, proofs written out", found[_FINDINGS])


def _against_clips(engine: Sequence[Taken], clips: Sequence[Taken]) -> Iterator[Row]:
    yield Row(f"rule and facts matched, a question: {CLIPS}", _each(clips), "µs")
    for what, first in (("all questions", None), ("the first 100", 100)):
        ratios = [other.seconds(first) / one.seconds(first) for one, other in zip(engine, clips, strict=True)]
        yield Row(f"{CLIPS}'s time to the engine's, run by run: {what}", ratios, "x", Figure(1, most=False))


def _each(taken: Sequence[Taken], parts: float = 1) -> list[float]:
    """Give the microseconds of each question, or of each of so many parts of it."""
    return [1e6 * one.seconds() / len(one.ns) / parts for one in taken]
