"""All the ways to cover sets of options with so many types.

Where as few types as can be are wanted these are few, hundreds rather than millions: so the best of them is found by
looking at each, in whole numbers, where a program that weighs them against each other needs a hundred times as long.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence


class TooMany(Exception):
    """There are more steps to go than are allowed."""


def covers(sets: Sequence[Sequence[int]], count: int, steps: int) -> Iterator[frozenset[int]]:
    """Give each set of `count` types that has one of each of `sets`, where fewer have not. Raises `TooMany`."""
    having: dict[int, int] = {}  # by type, as bits: the sets that it is of
    for at, options in enumerate(sets):
        for one in options:
            having[one] = having.get(one, 0) | 1 << at
    most = max((bits.bit_count() for bits in having.values()), default=0)

    def with_more(held: tuple[int, ...], open_sets: int, barred: frozenset[int]) -> Iterator[frozenset[int]]:
        nonlocal steps
        steps -= 1
        if steps < 0:
            raise TooMany
        left = count - len(held)
        if not open_sets:
            if not left:
                yield frozenset(held)
            return
        if open_sets.bit_count() > left * most:
            return
        # By the set with the fewest types that are left; each of them in turn, without those tried before it.
        left_of = [
            [one for one in options if one not in barred] for at, options in enumerate(sets) if open_sets >> at & 1
        ]
        tried = barred
        for one in min(left_of, key=len):
            yield from with_more((*held, one), open_sets & ~having[one], tried)
            tried |= {one}

    yield from with_more((), (1 << len(sets)) - 1, frozenset())
