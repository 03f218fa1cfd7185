"""Which words an extreme is crossed with: each with each concern, then in pairs, the fewest questions first.

Most questions change a few words of a sound base, so that nothing else bars the joint and hides the extreme; some
change every leaf. Words are chosen greedily: first those that this concern has not met, then pairs of words that it has
not met together.
"""

from __future__ import annotations

import itertools
import random
from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field

from tests.extremes.asking import Crossed
from tests.extremes.extremes import Extreme, bases, extremes
from tests.extremes.words import Word, leaves

_HOW_MANY = ((2, 25), (3, 45), (6, 20), (99, 10))  # words a question, and how often
_FEW = 3
_SELDOM = 0.1  # of the words that bar a joint by themselves, where many words are changed


@dataclass(frozen=True)
class Drawn:
    """An extreme on a base, crossed with words."""

    extreme: Extreme
    base: str
    crossed: tuple[Crossed, ...]


@dataclass
class _Met:
    """What one concern has met: words among a few only, and pairs of words in any question."""

    words: set[Word] = field(default_factory=set)
    pairs: set[frozenset[Word]] = field(default_factory=set)


class Drawing:
    """Draws extremes by turns, of one concern or of all.

    `heavy` are the words that bar or refer the plainest joint by themselves.
    """

    def __init__(self, seed: int, heavy: frozenset[Word], concern: str | None = None) -> None:
        self._rng = random.Random(seed)
        self._heavy = heavy
        self._extremes = [extreme for extreme in extremes() if concern in (None, extreme.concern)]
        self.met: Mapping[str, _Met] = defaultdict(_Met)

    def __iter__(self) -> Iterator[Drawn]:
        by_concern: dict[str, list[Extreme]] = {}
        for one in self._extremes:
            by_concern.setdefault(one.concern, []).append(one)
        turns = {concern: itertools.cycle(self._rng.sample(each, len(each))) for concern, each in by_concern.items()}
        names = list(bases())
        for at in itertools.count():
            for concern, each in by_concern.items():
                # Every other time that which may meet the most words that its concern has not met.
                extreme = max(each, key=self._unmet) if at % 2 else next(turns[concern])
                yield Drawn(extreme, self._rng.choice(names), self._crossed(extreme))

    def _unmet(self, extreme: Extreme) -> int:
        met = self.met[extreme.concern].words
        open_leaves = (words for leaf, words in leaves().items() if leaf not in extreme.leaves)
        return sum(word not in met for words in open_leaves for word in words)

    def _crossed(self, extreme: Extreme) -> tuple[Crossed, ...]:
        met = self.met[extreme.concern]
        many = self._rng.choices([each for each, _ in _HOW_MANY], [often for _, often in _HOW_MANY])[0]
        chosen: list[Word] = []
        for leaf in self._leaves(extreme, met, many):
            chosen.append(self._word(leaf, chosen, met, few=many <= _FEW))
        if many <= _FEW:
            met.words.update(chosen)
        met.pairs.update(map(frozenset, itertools.combinations(chosen, 2)))
        return tuple(
            Crossed(word, not word.leaf.startswith("conductor.") or self._rng.random() < 0.6) for word in chosen
        )

    def _leaves(self, extreme: Extreme, met: _Met, many: int) -> Sequence[str]:
        open_leaves = [leaf for leaf in leaves() if leaf not in extreme.leaves]
        unmet = {leaf: sum(word not in met.words for word in leaves()[leaf]) for leaf in open_leaves}
        keys = {
            leaf: self._rng.random() ** (1 / (unmet[leaf] + 0.3 + len(leaves()[leaf]) / 20)) for leaf in open_leaves
        }
        return sorted(open_leaves, key=lambda leaf: -keys[leaf])[:many]

    def _word(self, leaf: str, chosen: Sequence[Word], met: _Met, *, few: bool) -> Word:
        words = leaves()[leaf]
        light = [word for word in words if few or word not in self._heavy or self._rng.random() < _SELDOM]
        best = [
            (
                sum(frozenset((one, other)) not in met.pairs for other in chosen)
                + (few and one not in met.words) * 1000,
                self._rng.random(),
                one,
            )
            for one in light or words
        ]
        return max(best, key=lambda each: each[:2])[2]
