"""The bench's questions: the parts of the rules' own examples, put together anew. All distinct, all valid."""

from __future__ import annotations

import random
from collections.abc import Iterator
from typing import Any

import orjson

from splicewright.question.read import read_question
from splicewright.reading import Refused
from splicewright.rulebook import load_rulebook
from splicewright.rulebook.examples import PLAIN
from tests.bench.rules import CODE


def distinct(seed: int) -> Iterator[dict[str, Any]]:
    """Give questions without end, as callers write them; no two ask the same.

    A joint, a place, a circuit and a kind of work are each taken from the examples of one rule.
    """
    rng = random.Random(seed)
    examples = [one for rule in load_rulebook(CODE).rules for one in (*rule.fires, *rule.silent)]
    seen: set[bytes] = set()
    while True:
        given = _put_together(rng, examples)
        try:
            canonical = read_question(given).question.canonical()
        except Refused:  # parts that do not go together, such as old aluminum wiring of no stated metal
            continue
        if canonical not in seen:
            seen.add(canonical)
            yield given


def _put_together(rng: random.Random, examples: list[Any]) -> dict[str, Any]:
    whole = rng.choice(examples)
    joint = {**PLAIN["joint"], **whole.get("joint", {})}
    change = whole.get("conductor", {})
    joint["conductors"] = [{**one, **change} for one in joint["conductors"]]
    parts = {key: rng.choice(examples).get(key) for key in ("place", "circuit", "work")}
    return {"joint": joint, **{key: value for key, value in parts.items() if value}}


def lines(seed: int, count: int) -> list[bytes]:
    """Give so many distinct questions as JSON."""
    return [orjson.dumps(given) for given, _ in zip(distinct(seed), range(count), strict=False)]
