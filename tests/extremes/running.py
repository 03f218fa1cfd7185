"""Asks extremes and their twins, and makes what is wrong as small as it goes."""

from __future__ import annotations

import functools
import itertools
from collections import Counter
from collections.abc import Callable, Iterator
from copy import deepcopy
from dataclasses import dataclass

from splicewright.answering import Chooser, shipped_chooser
from tests.extremes.asking import Crossed, Plain, Told, may_be_asked, question, tell
from tests.extremes.drawing import Drawing, Drawn
from tests.extremes.extremes import Extreme, bases, extremes
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
    """Asks the extremes of one seed, of one concern or of all. `counts` tells what came of them."""

    def __init__(self, seed: int, concern: str | None = None, chooser: Chooser | None = None) -> None:
        self.chooser = chooser or shipped_chooser()
        self.counts: Counter[str] = Counter()
        self._drawing = Drawing(seed, heavy_words(), concern)

    def ask(self, count: int, *, most_kinds: int | None = None, until_met: bool = False) -> list[Fault]:
        """Ask so many extremes and their twins; give the faults, of each extreme and kind the smallest question.

        Beyond `most_kinds` faults are counted and not made small. `until_met`: fewer, where every word is met before.
        """
        found: dict[tuple[str, str], Fault] = {}
        for drawn in itertools.islice(self._drawn(), count):
            self.counts["asked"] += 1
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
            if until_met and not self.unmet:
                break
        return list(found.values())

    def _drawn(self) -> Iterator[Drawn]:
        """Draw questions that may be asked: words that are not allowed together are drawn again."""
        for drawn in self._drawing:
            patches = (drawn.extreme.absurd, drawn.extreme.sound)
            if all(may_be_asked(question(bases()[drawn.base], dict(patch), drawn.crossed)) for patch in patches):
                yield drawn

    def _count(self, of_twin: bool, told: Told) -> None:
        if of_twin:
            self.counts["twins that nothing bars"] += told.outcome not in BLOCKED
        else:
            self.counts["stopped" if told.outcome in STOPPED else "told as not judged, or with options to suit"] += 1

    @property
    def unmet(self) -> list[str]:
        """Each word that a concern has not met among a few others, though some extreme of it leaves that word open."""
        return [
            f"{concern}: {word}"
            for concern, met in self._drawing.met.items()
            for leaf, words in leaves().items()
            if any(extreme.concern == concern and leaf not in extreme.leaves for extreme in extremes())
            for word in words
            if word not in met.words
        ]

    @property
    def covered(self) -> str:
        """Say how many words no concern has met, and how many pairs of words each has met, of how many there are."""
        pairs = sum(len(one) * len(other) for one, other in itertools.combinations(leaves().values(), 2))
        least = min(len(one.pairs) for one in self._drawing.met.values())
        return f"{len(self.unmet)} words not met by a concern, {least} of {pairs} pairs of words met by each or more"


@functools.cache
def heavy_words() -> frozenset[Word]:
    """Give the words that bar or refer the plainest joint by themselves."""
    found, chooser = set(), shipped_chooser()
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
