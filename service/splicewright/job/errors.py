"""What is told of joints and boxes that are not valid: a job may hold so many that to tell all would fill memory."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from itertools import chain, islice

from splicewright.refusals import MOST_PROBLEMS, Problem, Refused
from splicewright.units import counted

#: Joints and boxes, each different, of which every problem is looked for: that takes milliseconds each.
MOST_BAD = 500
_Place = Callable[[Problem], Problem]


class JobErrors:
    """The first problems of a job's joints and boxes. Of those beyond, each joint or box says how many it has."""

    def __init__(self) -> None:
        self._bad = 0
        self._told: list[Problem] = []

    def told(
        self, pointer: str, own: Sequence[Problem], placed: Sequence[Problem] = (), place: _Place | None = None
    ) -> tuple[Problem, ...]:
        """Give what is told of the joint or box at `pointer`.

        `own` are problems whose pointers lead into it (`place` makes those into the job), `placed` lead into the job.
        """
        count, room = len(own) + len(placed), MOST_PROBLEMS - len(self._told)
        if not count:
            return ()
        moved = map(place, own) if place else (Problem(pointer + one.pointer, one.says) for one in own)
        first = tuple(islice(chain(moved, placed), room))
        self._told += first
        if count <= room:
            return first
        says = f"has {counted(count - room, 'problem')} that are not told; mend those that are told first"
        return (*first, Problem(pointer, says))

    def another(self, pointer: str) -> None:
        """Take note of one more that is bad in a way of its own. Raises `Refused` where they are too many."""
        self._bad += 1
        if self._bad > MOST_BAD:
            says = (
                f"more than {MOST_BAD} joints and boxes are not valid, each in its own way; none from here on was read"
            )
            raise Refused([*self._told[: MOST_PROBLEMS - 1], Problem(pointer, says)])
