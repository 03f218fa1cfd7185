"""What the rules of one kind look at of the facts of a question, as numbers: the same where they see the same.

Rules see facts of some shares (`question/facts.py`), each through one look. What all looks at a share see is worked out
once, and kept by the share's number.
"""

from __future__ import annotations

import itertools
from collections.abc import Callable, Iterable, Sequence
from operator import itemgetter
from typing import Any

from splicewright.engine.coding import Fragments
from splicewright.question.facts import Share, share_places

_MOST_SEEN = 1000  # shares at one place
_MOST_NUMBERED = 4000  # ways that a share looked

Coded = tuple[tuple[str, Fragments], ...]
Pick = Callable[[Sequence[int]], Any]


class Look:
    """What rules of a kind see of one share: the facts that they test, and those that their words tell.

    `place` is that of the share among the others.
    """

    def __init__(self, place: int, coded: Coded, told: Sequence[str], every: Sequence[str]) -> None:
        """Look at facts tested, at `told` ones by name, and at those of `every` conductor."""
        self.place = place
        self._coded = coded
        self._names = tuple(dict.fromkeys((*(name for name, _ in coded), *told)))
        self._every = tuple(every)
        self._numbered: dict[Any, int] = {}
        self._next = itertools.count()
        self._likenesses: dict[int, tuple[str | None, ...]] = {}

    def number(self, share: Share) -> int:
        """Give the same number for shares in which the facts looked at are the same, in value and in print."""
        seen = (
            *map(share.facts.get, self._names),
            *map(share.lines.get, self._names),
            *map(share.every.get, self._every),
        )
        found = self._numbered.get(seen)
        if found is None:
            if len(self._numbered) >= _MOST_NUMBERED:
                self._numbered.clear()  # a number once given is not given again
                self._likenesses.clear()
            found = self._numbered[seen] = next(self._next)
        return found

    def likeness(self, share: Share, number: int) -> tuple[str | None, ...]:
        """Give the same for shares of which every comparison says the same. `number` is the share's.

        Here and in `written`, raises TypeError or ValueError for a value that is not of its fact's kind.
        """
        found = self._likenesses.get(number)
        if found is None:
            get = share.facts.get
            values = [(fragments, get(name)) for name, fragments in self._coded]
            found = tuple([None if value is None else fragments.likeness(value) for fragments, value in values])
            self._likenesses[number] = found
        return found

    def written(self, share: Share) -> str:
        """Write the facts tested as properties of a fact for the library, each behind a comma."""
        get = share.facts.get
        return "".join([fragments[value] for name, fragments in self._coded if (value := get(name)) is not None])


class Side:
    """What the rules of a kind see of the single facts, or of one conductor chosen: a look at each share concerned."""

    def __init__(self, coded: Coded, told: Iterable[str], every: Iterable[str] = ()) -> None:
        places = share_places()
        self.names = tuple(name for name, _ in coded)
        tested: dict[int, list[tuple[str, Fragments]]] = {}
        for name, fragments in coded:
            tested.setdefault(places[name], []).append((name, fragments))
        further: dict[int, list[str]] = {}
        for name in sorted(set(told) - {*self.names}):
            further.setdefault(places[name], []).append(name)
        of_all = {places[EVERY]: sorted(set(every))} if every else {}
        self.looks = tuple(
            Look(place, tuple(tested.get(place, ())), further.get(place, ()), of_all.get(place, ()))
            for place in sorted({*tested, *further, *of_all})
        )

    def likeness(self, shares: Sequence[Share], numbers: Any) -> tuple[Any, ...]:
        """Give the same for facts of which every comparison says the same. `numbers` are what it sees of them."""
        if len(self.looks) == 1:
            numbers = (numbers,)
        return tuple(
            [look.likeness(shares[look.place], number) for look, number in zip(self.looks, numbers, strict=True)]
        )

    def written(self, shares: Sequence[Share]) -> str:
        """Write the facts tested as the library reads them, each property behind a comma."""
        return "".join([look.written(shares[look.place]) for look in self.looks])


EVERY = "joint.purpose"  # a fact of the share that has the facts of every conductor in print


class Sights:
    """What several sides see, worked out together. `picks` has what takes from it that which a side sees."""

    def __init__(self, sides: Iterable[Side]) -> None:
        sides = tuple(sides)
        looks = sorted((look for side in sides for look in side.looks), key=lambda look: look.place)
        at = {look: number for number, look in enumerate(looks)}
        self.picks = {side: _picking([at[look] for look in side.looks]) for side in sides}
        by_place = itertools.groupby(looks, key=lambda look: look.place)
        self._by_place: list[tuple[int, tuple[Look, ...], dict[int, tuple[int, ...]]]]
        self._by_place = [(place, tuple(each), {}) for place, each in by_place]

    def of(self, shares: Sequence[Share]) -> list[int]:
        """Give what is seen of these shares."""
        found: list[int] = []
        for place, looks, seen in self._by_place:
            share = shares[place]
            known = seen.get(share.number)
            if known is None:
                known = tuple([look.number(share) for look in looks])
                if len(seen) >= _MOST_SEEN:
                    seen.clear()
                seen[share.number] = known
            found += known
        return found


def _picking(places: Sequence[int]) -> Pick:
    return itemgetter(*places) if places else lambda _: ()
