"""The bench's questions: the parts of the rules' own examples, put together anew. All valid, no two of one pattern."""

from __future__ import annotations

import functools
import itertools
import random
from collections.abc import Iterator, Mapping, Sequence
from typing import Any

import orjson

from splicewright.question.read import read_question
from splicewright.refusals import Refused
from splicewright.rulebook import load_rulebook
from splicewright.rulebook.examples import PLAIN
from tests.bench.patterns import Patterns
from tests.bench.rules import CODE

_PARTS = ("place", "circuit", "work")
_THE_SET = 1  # its seed


def distinct(seed: int) -> Iterator[dict[str, Any]]:
    """Give questions without end, as callers write them; no two alike in all that the rules tell apart.

    A joint, a place, a circuit and a kind of work are each taken from the examples of one rule, with one word of
    another's laid over, so that the parts too are many.
    """
    rng = random.Random(seed)
    rules = load_rulebook(CODE).rules
    examples = [one for rule in rules for one in (*rule.fires, *rule.silent)]
    patterns, seen = Patterns(rules), set[Any]()
    while True:
        given = _put_together(rng, examples)
        try:
            pattern = patterns.of(read_question(given).question)
        except Refused:  # parts that do not go together, such as old aluminum wiring of no stated metal
            continue
        if pattern not in seen:
            seen.add(pattern)
            yield given


def _put_together(rng: random.Random, examples: Sequence[Mapping[str, Any]]) -> dict[str, Any]:
    whole = rng.choice(examples)
    joint = {**PLAIN["joint"], **whole.get("joint", {})}
    change = {**whole.get("conductor", {}), **_one_word(rng, rng.choice(examples).get("conductor"))}
    joint["conductors"] = [{**conductor, **change} for conductor in joint["conductors"]]
    parts = {key: {**_part(rng, examples, key), **_one_word(rng, _part(rng, examples, key))} for key in _PARTS}
    return {"joint": joint, **{key: value for key, value in parts.items() if value}}


def _part(rng: random.Random, examples: Sequence[Mapping[str, Any]], key: str) -> Mapping[str, Any]:
    return rng.choice(examples).get(key) or {}


def _one_word(rng: random.Random, part: Mapping[str, Any] | None) -> dict[str, Any]:
    return dict([rng.choice(list(part.items()))]) if part else {}


def lines(seed: int, count: int) -> list[bytes]:
    """Give so many distinct questions as JSON."""
    return [orjson.dumps(given) for given in itertools.islice(distinct(seed), count)]


@functools.cache
def the_set(count: int) -> tuple[bytes, ...]:
    """Give the questions, as JSON, that every engine and every kind of cold answer is asked."""
    return tuple(lines(_THE_SET, count))
