"""Questions made of a base, an extreme's value and other words; and what the answer to one tells."""

from __future__ import annotations

import copy
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from splicewright.answering import Chooser
from splicewright.answering.answer_json import JudgedConcern, judge
from splicewright.catalogue import meets
from splicewright.question.facts import Facts, facts_of
from splicewright.question.read import ParsedQuestion, read_question
from splicewright.refusals import Refused
from splicewright.rulebook.model import ListingTest
from tests.extremes.words import UNSAID, Word

Plain = dict[str, Any]
MOST_CONDUCTORS = 24


@dataclass(frozen=True)
class Told:
    """What came of a question: the outcome, each concern that arises, and the listings of the options."""

    asked: ParsedQuestion
    outcome: str
    judged: Mapping[str, JudgedConcern]
    options: tuple[Mapping[str, Any], ...]

    @property
    def facts(self) -> Facts:
        """The facts of the question, measures included."""
        return facts_of(self.asked.question)

    def all_meet(self, tests: Iterable[ListingTest]) -> bool:
        """Say whether every option passes all of the tests, of which there is one at least."""
        asked = tuple(tests)
        return bool(asked) and all(meets(option, test) for option in self.options for test in asked)


def tell(chooser: Chooser, given: Plain) -> Told | None:
    """Ask a question; None where it is none."""
    if not may_be_asked(given):
        return None
    asked = read_question(given)
    holding, question = chooser.holding, asked.question
    match = holding.match(question)
    judged = judge(question, match.derived, holding.rules(question.code).rulebook)
    return Told(
        asked, match.outcome, {one.concern: one for one in judged}, tuple(option.attributes for option in match.options)
    )


def may_be_asked(given: Plain) -> bool:
    """Say whether it is a question at all: some words are not allowed together."""
    try:
        read_question(given)
    except Refused:
        return False
    return True


@dataclass(frozen=True)
class Crossed:
    """A word that an extreme is crossed with; a conductor's, for `every` conductor or for one of them only."""

    word: Word
    every: bool = True

    def __str__(self) -> str:
        return f"{self.word}{'' if self.every or not self.word.leaf.startswith('conductor.') else ' (of one)'}"


def question(base: Plain, patch: Plain, crossed: Iterable[Crossed]) -> Plain:
    """Give the base with the words, and the patch laid over it: what the patch says always stands."""
    given = copy.deepcopy(base)
    for one in crossed:
        _cross(given, one)
    _lay_over(given, patch)
    if given["joint"].get("purpose") == "cap" and "conductors" not in patch:
        given["joint"]["conductors"] = [{**given["joint"]["conductors"][0], "count": 1}]
    _within_bounds(given["joint"]["conductors"])
    return given


def _cross(given: Plain, crossed: Crossed) -> None:
    for leaf, value in crossed.word.brings.items():
        part, _, name = leaf.partition(".")
        if not name:
            given[part] = value
        elif part != "conductor":
            _put(given.setdefault(part, {}), name, value)
        else:
            for conductor in given["joint"]["conductors"] if crossed.every else [_apart(given["joint"]["conductors"])]:
                _put(conductor, name, value)


def _apart(conductors: list[Plain]) -> Plain:
    """Give one conductor as an entry of its own, made of the first where that stands for several."""
    if len(conductors) == 1:
        count = conductors[0].get("count", 1)
        if count > 1:
            conductors[0]["count"] = count - 1
        conductors.append({**conductors[0], "count": 1})
    return conductors[-1]


def _put(into: Plain, name: str, value: Any) -> None:
    if value == UNSAID:
        into.pop(name, None)
    else:
        into[name] = copy.deepcopy(value)


def _lay_over(given: Plain, patch: Plain) -> None:
    for part, leaves in patch.items():
        if part == "conductor":  # of every conductor
            for conductor in given["joint"]["conductors"]:
                _lay(conductor, leaves)
        elif part == "conductors":  # one by one; what the base lacks is made like its first
            first = given["joint"]["conductors"][0]
            there = given["joint"]["conductors"]
            there += [{**copy.deepcopy(first), "count": 1} for _ in range(len(leaves) - len(there))]
            for one, own in zip(there, leaves, strict=False):
                _lay(one, own)
        elif isinstance(leaves, dict):
            _lay(given.setdefault(part, {}), leaves)
        else:
            given[part] = leaves


def _lay(into: Plain, leaves: Plain) -> None:
    for name, value in leaves.items():
        _put(into, name, value)


def _within_bounds(conductors: list[Plain]) -> None:
    """Take away from the last conductors what is more than a question may hold."""
    over = sum(conductor.get("count", 1) for conductor in conductors) - MOST_CONDUCTORS
    for conductor in reversed(conductors):
        if over > 0:
            less = min(over, conductor.get("count", 1) - 1)
            conductor["count"] = conductor.get("count", 1) - less
            over -= less
