"""The fewest joints that conductors can be divided among: an exact search over counts of like conductors.

Joints tied by jumpers without a loop form a tree: n joints have n - 1 jumpers, so their jumper ends add up to 2(n - 1),
and any such ends, one or more to a joint, can be tied into one tree. What is searched is therefore only what goes into
each joint: how many conductors of each kind, and how many jumper ends.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from operator import add, sub
from typing import NamedTuple

Counts = tuple[int, ...]  # of each kind of conductor
Cost = tuple[int, ...]  # added up place by place; the least, read from the left, is the best

FEWEST_ENDS_OF_A_HUB = 3  # with two a jumper would only be longer


class JointPart(NamedTuple):
    """What goes into one joint. One without a conductor is a hub: it joins jumpers only."""

    taken: Counts
    ends: int


@dataclass(frozen=True, slots=True)
class Division:
    """Parts that hold all conductors, with what they cost together."""

    parts: tuple[JointPart, ...]
    cost: Cost


@dataclass(frozen=True, slots=True)
class Task:
    """Conductors to be divided.

    `counts` is of each kind, the largest first. `most[n]` is the most ends that any joint can have which are no smaller
    than kind n; jumper ends are among them, but for the first `together` kinds, which are larger than the jumpers and
    go into one part, all of them. `plain` looks only at chains of parts that take the conductors in their order: few
    enough to look at where there are too many others.
    """

    counts: Counts
    most: Counts
    together: int = 0
    plain: bool = False


class Partition:
    """Divides the conductors of one task.

    `cost_of` gives what a part costs, None where it cannot be made. `step` is called for each part looked at. Either
    may raise to end the search.
    """

    def __init__(self, task: Task, cost_of: Callable[[JointPart], Cost | None], step: Callable[[], None]) -> None:
        self._task, self._cost_of, self._step = task, cost_of, step
        self._known: dict[tuple[Counts, int, int], Division | None] = {}

    def into(self, parts: int) -> Division | None:
        """Divide all conductors into so many parts at the least cost; None where that cannot be done."""
        return self._divided(self._task.counts, parts, 2 * (parts - 1))

    def _divided(self, left: Counts, parts: int, ends: int) -> Division | None:
        """Divide what is left among so many parts with so many jumper ends in all."""
        if parts == 0:
            return Division((), ())
        key = (left, parts, ends)
        if key not in self._known:
            self._known[key] = self._best(left, parts, ends)
        return self._known[key]

    def _best(self, left: Counts, parts: int, ends: int) -> Division | None:
        best: Division | None = None
        if not self._may_go(left, parts, ends):
            return None
        for part in self._parts(left, parts, ends):
            self._step()
            rest_left = tuple(map(sub, left, part.taken))
            if not self._may_go(rest_left, parts - 1, ends - part.ends):
                continue
            cost = self._cost_of(part)
            rest = None if cost is None else self._divided(rest_left, parts - 1, ends - part.ends)
            if cost is None or rest is None:
                continue
            total = tuple(map(add, cost, rest.cost)) if rest.parts else cost
            if best is None or total < best.cost:
                best = Division((part, *rest.parts), total)
        return best

    def _may_go(self, left: Counts, parts: int, ends: int) -> bool:
        """Say whether so many parts have room enough, by number alone."""
        if parts == 0:
            return not ends and not any(left)
        task, entering = self._task, ends
        # Written out, since it is asked of every part that is looked at.
        for at in range(task.together, len(left)):
            entering += left[at]
            if entering > parts * task.most[at]:
                return False
        return True

    def _parts(self, left: Counts, parts: int, ends: int) -> Iterator[JointPart]:
        """Give every part that may come next: it has one of the first conductors left, so that no two orders count."""
        hub, most = not any(left), self._task.most[-1]
        most_ends = min(ends - parts + 1, 2 if self._task.plain else most)
        for own in range(ends if parts == 1 else 1, most_ends + 1):
            if hub:
                yield from (JointPart(left, own) for _ in range(own >= FEWEST_ENDS_OF_A_HUB))
                continue
            # What this part leaves must go into the others.
            least = sum(left) - ((parts - 1) * most - (ends - own))
            for taken in self._takings(left, least, most - own):
                yield JointPart(taken, own)

    def _takings(self, left: Counts, least: int, most: int) -> Iterator[Counts]:
        of_each = [0] * len(left)
        of_each[next(at for at, count in enumerate(left) if count)] = 1
        if left == self._task.counts and self._task.together:
            of_each[: self._task.together] = left[: self._task.together]
        if self._task.plain:
            return _prefixes(left, max(least, sum(of_each)), most)
        return _vectors(left, of_each, least, most)


def _vectors(left: Sequence[int], of_each: Sequence[int], least: int, most: int) -> Iterator[Counts]:
    """Give every vector from `of_each` to `left` of a sum from `least` to `most`, the fullest of first kinds first."""
    if len(left) == 1:
        yield from ((own,) for own in range(min(left[0], most), max(of_each[0], least) - 1, -1))
        return
    after = sum(left[1:])
    for own in range(min(left[0], most - sum(of_each[1:])), max(of_each[0], least - after) - 1, -1):
        for rest in _vectors(left[1:], of_each[1:], least - own, most - own):
            yield (own, *rest)


def _prefixes(left: Counts, least: int, most: int) -> Iterator[Counts]:
    """Give the first `least` of what is left, one more, and so on to `most`."""
    for size in range(least, min(sum(left), most) + 1):
        taken, room = [], size
        for count in left:
            taken.append(min(count, room))
            room -= taken[-1]
        yield tuple(taken)
