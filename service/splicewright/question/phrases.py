"""What people write in one line, and what of it is asked about, read from the rulesets."""

from __future__ import annotations

import functools
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from splicewright import shipped


@dataclass(frozen=True, slots=True)
class Phrases:
    """Which words of a line may stand beside others, and which have meanings beside that of the vocabulary.

    All are in small letters with hyphens. `asked` are answered by what goes on after "write", but where they stand
    `but_after` a number of some leaf. `qualities` may stand beside each other and beside one of `things`; a word of
    several leaves is of the first of `qualities_of` before one of the second. A leaf of `places` may follow "in", and
    words `after` a number tell its leaf. `pairs` of numbers are told by their unit, and `units` that no leaf is in;
    `ratings` are degrees Celsius marked on wire and terminals.
    """

    asked: Mapping[str, str]
    but_after: Mapping[str, str]
    qualities: frozenset[str]
    things: frozenset[str]
    places: frozenset[str]
    after: Mapping[str, str]
    pairs: Mapping[str, str]
    units: Mapping[str, str]
    qualities_of: Mapping[str, str]
    ratings: frozenset[int]
    ratings_say: str


@functools.cache
def phrases() -> Phrases:
    """Give what stands in the rulesets."""
    path = shipped.folder("rulesets") / "words" / "phrases.yaml"
    found: Mapping[str, Any] = shipped.read_data_file(path, path.name).value
    return Phrases(
        {said: one["say"] for one in found["asked"] for said in one["said"]},
        {said: one["but_after"] for one in found["asked"] if "but_after" in one for said in one["said"]},
        frozenset(found["beside"]["qualities"]),
        frozenset(found["beside"]["things"]),
        frozenset(found["places"]),
        found["after"],
        found["pairs"],
        {said: one["say"] for one in found["units"] for said in one["said"]},
        found["beside"]["of"],
        frozenset(found["ratings"]["degrees"]),
        found["ratings"]["say"],
    )
