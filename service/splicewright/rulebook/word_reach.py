"""Which rules a word of a question turns on and off: by their own tests, by measures, and by conditions in between."""

from __future__ import annotations

import functools
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Literal

from splicewright.question.fact_kinds import fact_kinds
from splicewright.question.vocabulary import PROVES
from splicewright.rulebook.model import Pattern, Rule, Rulebook
from splicewright.rulebook.word_asked import OF_PROPOSALS, AskedWord
from splicewright.rulebook.word_tests import Word, lists_only, same_words, standing, told


@dataclass(frozen=True, slots=True)
class Reached:
    """A rule, and by what it is reached, in words."""

    rule: Rule
    by: str


@dataclass(frozen=True, slots=True)
class WordReach:
    """The rules that a word turns on and off; each group in the order of the rulebook.

    `unless` has those that it leaves silent unless something beside it in the joint, such as another conductor, is what
    they ask for; `measured` those that a measure made from it decides, or a condition that it rules out of one of the
    rules that conclude it. Where a leaf as a whole is asked about, those that test it stand in `on`.
    """

    asked: AskedWord
    on: tuple[Reached, ...]
    off: tuple[Reached, ...]
    unless: tuple[Reached, ...]
    measured: tuple[Reached, ...]


@dataclass(frozen=True, slots=True)
class _Way:
    """How a rule is reached; whether a condition that it concludes is reached by it too.

    It `excludes` where the rule is for all words but some, and the word is one of those.
    """

    kind: Literal["on", "off", "unless", "measured"]
    by: str
    passes: bool = True
    excludes: bool = False


def word_reach(book: Rulebook, asked: AskedWord) -> WordReach:
    """Give the rules of a rulebook that a word, or a leaf, reaches."""
    way = _of_proposal(asked) if asked.leaf in OF_PROPOSALS else _Ways(book, asked).way
    found = [(rule, way(rule)) for rule in book.rules]
    on, off, unless, measured = (
        tuple(Reached(rule, one.by) for rule, one in found if one and one.kind == kind) for kind in _WEIGHT
    )
    return WordReach(asked, on, off, unless, measured)


class _Ways:
    """The ways to all rules of a rulebook from one word of a fact."""

    def __init__(self, book: Rulebook, asked: AskedWord) -> None:
        self._asked = asked
        self._known: dict[str, _Way | None] = {}
        self._concluding: dict[tuple[str, str], list[Rule]] = {}
        for rule in book.rules:
            if rule.effect.concludes:
                self._concluding.setdefault(rule.effect.concludes, []).append(rule)

    def way(self, rule: Rule) -> _Way | None:
        """Give the way to a rule; conditions do not lead in a circle (see lint.py)."""
        if rule.id not in self._known:
            direct = _direct(rule, self._asked)
            behind = [one for one in map(self._by_condition, rule.when) if one]
            ways = [*([direct] if direct else []), *behind]
            self._known[rule.id] = min(ways, key=lambda way: (_WEIGHT[way.kind], not way.passes), default=None)
        return self._known[rule.id]

    def _by_condition(self, pattern: Pattern) -> _Way | None:
        if pattern.scope != "condition":
            return None
        (test,) = pattern.tests
        key = test.name.partition(".")[2]
        ways = [self.way(rule) for word in test.values for rule in self._concluding.get((key, str(word)), ())]
        by = f"by way of the condition {told(test).partition('.')[2]}"
        if ways and all(way and way.kind in ("off", "unless") for way in ways):
            kind: Literal["off", "unless"] = "off" if all(way and way.kind == "off" for way in ways) else "unless"
            return _Way(kind, by, excludes=any(way and way.excludes for way in ways))
        leading = [way for way in ways if way and way.kind == "on" and way.passes]
        if leading:
            return _Way("on", by if len(leading) == len(ways) else f"{by}, which else may hold too")
        excluding = next((way for way in ways if way and way.excludes), None)
        if excluding:
            return _Way("measured", f"{excluding.by}, {by}, which others may conclude")
        return next((_Way("measured", f"{way.by}, {by}") for way in ways if way and way.kind == "measured"), None)


#: Of several ways to a rule the least counts: what silences it before what it needs, a measure last.
_WEIGHT = {"on": 1, "off": 0, "unless": 2, "measured": 3}


def _direct(rule: Rule, asked: AskedWord) -> _Way | None:
    """Give the way by a rule's own tests."""
    names = same_words(asked.leaf)
    tests = [test for pattern in rule.when for test in pattern.tests]
    if asked.word is None:
        if own := [told(test) for test in tests if test.name in names]:
            return _Way("on", "; ".join(own))
    elif found := standing(rule, asked.leaf, asked.word):
        by = "; ".join(found.tests)
        if found.stands in ("off", "unless"):
            return _Way(found.stands, by, excludes=not lists_only(rule, asked.leaf))
        return _Way("on", by, passes=found.stands == "needs")
    measures = [test.name for test in tests if asked.leaf in _reads(test.name)]
    return _Way("measured", f"by way of the measure {measures[0]}") if measures else None


def _reads(name: str) -> tuple[str, ...]:
    kind = fact_kinds().get(name)  # none of a condition
    return kind.reads if kind else ()


# --- what is said of a proposed splice -------------------------------------------------------


def _of_proposal(asked: AskedWord) -> Callable[[Rule], _Way | None]:
    return functools.partial(_ways_of_proposals[asked.leaf], asked.word)


_VERBS = {"demand": "asks for", "prefer": "prefers"}


def _of_method(word: Word | None, rule: Rule) -> _Way | None:
    """Tell what a rule does to a method: it names it, or it asks for connectors of other methods."""
    listed = rule.effect.methods
    if listed and word in (None, *listed):
        return _Way("on", f"names {', '.join(listed)}")
    for test in rule.effect.tests:
        if test.attribute == "method":
            takes = (word in test.values) is (test.operator == "any-of")
            wanted = f"{'other than ' if test.operator == 'other-than' else ''}{', '.join(map(str, test.values))}"
            if takes or word is None or rule.effect.kind == "demand":
                return _Way("on", f"{_VERBS.get(rule.effect.kind, 'unless')} {wanted}")
    return None


def _of_sign(word: Word | None, rule: Rule) -> _Way | None:
    sign = rule.effect.sign
    return _Way("on", f"the sign {sign}") if sign and word in (None, sign) else None


def _of_statement(word: Word | None, rule: Rule) -> _Way | None:
    effect = rule.effect
    spoken = [effect.asks, effect.said and effect.said[0], effect.proves and PROVES[effect.proves]]
    own = [one for one in spoken if one and word in (None, one)]
    return _Way("on", f"what is said of {', '.join(own)}") if own else None


_ways_of_proposals: Mapping[str, Callable[[Word | None, Rule], _Way | None]] = {
    "proposal.method": _of_method,
    "proposal.signs": _of_sign,
    "proposal": _of_statement,
}
