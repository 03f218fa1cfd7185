"""Which key was meant by one that is not known there: a key of another part, or what people say instead of one.

It is told and never taken: what a key means decides what stands under it.
"""

from __future__ import annotations

import functools
from collections.abc import Mapping, Sequence

from marshmallow import Schema

from splicewright.question.read_as import fields_in, written
from splicewright.question.synonyms import key_synonyms
from splicewright.refusals import Problem, Says

UNKNOWN = "unknown-key"
_MOST_PLACES = 3  # that are named


def key_meant(schema: Schema, problem: Problem) -> Problem:
    """Tell in the refusal of a key where what is meant stands, if that is known; give any other problem as it is."""
    if not isinstance(problem.says, Says) or problem.code != UNKNOWN or not problem.says.allowed:
        return problem  # it is of no single key
    *within, key = problem.pointer.split("/")[1:]
    said, places = written(key), places_of_keys(schema)
    meaning = key_synonyms().meanings.get(said, said)
    found = places.get(written(meaning), ())
    numbers = [part for part in within if part.isdecimal()]
    told = [place.format(*numbers, *["0"] * place.count("{}")) for place in found]
    beside = [one.rpartition("/")[2] for one in told if one.rpartition("/")[0] == problem.pointer.rpartition("/")[0]]
    if beside:
        return _told(problem, f"did you mean {beside[0]!r}?", beside[0])
    if problem.says.nearest or len(told) > _MOST_PLACES or (not told and meaning == said):
        return problem  # a slip of the pen, or nothing that is known
    return _told(problem, f"did you mean {' or '.join(told)}?" if told else f"say {meaning}")


def _told(problem: Problem, says: str, nearest: str | None = None) -> Problem:
    assert isinstance(problem.says, Says)
    return Problem(problem.pointer, Says(f"unknown key; {says}", UNKNOWN, nearest, problem.says.allowed))


@functools.cache
def places_of_keys(schema: Schema) -> Mapping[str, Sequence[str]]:
    """Give where each key may stand, in small letters with hyphens; each `{}` is a number in a list."""
    found: dict[str, list[str]] = {}
    for pointer, _ in fields_in(schema):
        found.setdefault(written(pointer.rpartition("/")[2]), []).append(pointer)
    return found
