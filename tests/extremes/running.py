"""Asks extremes and their twins, and makes what is wrong as small as it goes."""

from __future__ import annotations

import itertools
from collections import Counter
from collections.abc import Callable, Iterator
from copy import deepcopy
from dataclasses import dataclass

from splicewright.choice import Chooser
from tests.extremes.asking import Crossed, Plain, Told, question, tell
from tests.extremes.drawing import Drawing, Drawn
from tests.extremes.extremes import Extreme, bases
from tests.extremes.hearing import BLOCKED, STOPPED, not_judged, unheard
from tests.extremes.words import Word, leaves

Fails = Callable[[Extreme, Told], str | None]


@dataclass
class Fault:
    """One kind of fault: what it says of which extreme, the smallest question that shows it, and how often it came."""

    extreme: Extreme
    says: str
    question: Plain
    times: int = 1


class Running:
    """Asks the extremes of one seed. `counts` tells what came of them."""

    def __init__(self, seed: int, chooser: Chooser | None = None) -> None:
        self.chooser = chooser or Chooser(cache_bytes=0)
        self.counts: Counter[str] = Counter()
        self._drawing = Drawing(seed, heavy_words(self.chooser))

    def ask(self, count: int, *, most_kinds: int | None = None) -> list[Fault]:
        """Ask so many extremes and their twins; give the faults, of each extreme and kind the smallest question.

        Beyond `most_kinds` faults are counted and not made small.
        """
        found: dict[tuple[str, str], Fault] = {}
        for drawn in itertools.islice(self._drawn(), count):
            for patch, fails in ((drawn.extreme.absurd, unheard), (drawn.extreme.sound, not_judged)):
                given = question(bases()[drawn.base], dict(patch), drawn.crossed)
                told = tell(self.chooser, given)
                assert told is not None
                self._count(fails is not_judged, told)
                says = fails(drawn.extreme, told)
                if says is None:
                    continue
                key = (str(drawn.extreme), says)
                if key in found:
                    found[key].times += 1
                    continue
                small = most_kinds is None or len(found) < most_kinds
                made = smallest(self.chooser, drawn.extreme, given, fails) if small else given
                found[key] = Fault(drawn.extreme, says, made)
        return list(found.values())

    def _drawn(self) -> Iterator[Drawn]:
        """Draw questions that may be asked: words that are not allowed together are drawn again."""
        for drawn in self._drawing:
            patches = (drawn.extreme.absurd, drawn.extreme.sound)
            if all(tell_able(question(bases()[drawn.base], dict(patch), drawn.crossed)) for patch in patches):
                yield drawn

    def _count(self, of_twin: bool, told: Told) -> None:
        if of_twin:
            self.counts["twins that nothing bars"] += told.outcome not in BLOCKED
        else:
            self.counts["stopped" if told.outcome in STOPPED else "told as not judged, or with options to suit"] += 1

    @property
    def covered(self) -> str:
        """Say how many words and pairs of words each concern has met, of how many there are."""
        words = sum(map(len, leaves().values()))
        pairs = sum(len(one) * len(other) for one, other in itertools.combinations(leaves().values(), 2))
        met = self._drawing.met.values()
        least_words, least_pairs = min(len(one.words) for one in met), min(len(one.pairs) for one in met)
        return f"each concern met {least_words} of {words} words and {least_pairs} of {pairs} pairs of words or more"


def tell_able(given: Plain) -> bool:
    """Say whether a question is one."""
    from splicewright.question.read import read_question
    from splicewright.reading import Refused

    try:
        read_question(given)
    except Refused:
        return False
    return True


def heavy_words(chooser: Chooser) -> frozenset[Word]:
    """Give the words that bar or refer the plainest joint by themselves."""
    found = set()
    for word in itertools.chain.from_iterable(leaves().values()):
        told = tell(chooser, question(bases()["branch"], {}, [Crossed(word)]))
        if told is None or told.outcome in BLOCKED:
            found.add(word)
    return frozenset(found)


def smallest(chooser: Chooser, extreme: Extreme, given: Plain, fails: Fails) -> Plain:
    """Leave out words of a question one by one while it still fails."""
    shrinking = True
    while shrinking:
        shrinking = False
        for less in _less(given, extreme):
            told = tell(chooser, less)
            if told is not None and fails(extreme, told):
                given, shrinking = less, True
                break
    return given


def _less(given: Plain, extreme: Extreme) -> Iterator[Plain]:
    """Give the question with one conductor or one leaf less, of those that the extreme does not set itself."""
    conductors = given["joint"]["conductors"]
    for at in range(len(conductors)):
        if len(conductors) > 1 and not extreme.each_conductor:
            less = deepcopy(given)
            del less["joint"]["conductors"][at]
            yield less
        for leaf in set(conductors[at]) - {"size"}:
            if f"conductor.{leaf}" not in extreme.leaves:
                less = deepcopy(given)
                del less["joint"]["conductors"][at][leaf]
                yield less
    for part in ("joint", "place", "circuit", "work"):
        for leaf in given.get(part, {}):
            if leaf != "conductors" and f"{part}.{leaf}" not in extreme.leaves:
                less = deepcopy(given)
                del less[part][leaf]
                yield less
    if "code" in given:
        yield {key: value for key, value in given.items() if key != "code"}
