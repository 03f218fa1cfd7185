"""Points on which two answers differ, each in words that tell what was said from what is said instead."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from splicewright.impact.points import Point, Told

Points = Mapping[Point, Told]


@dataclass(frozen=True, slots=True)
class Differing:
    """A point that only one answer has, or that has another value; or two in the words of one rule and of its like."""

    points: tuple[Point, ...]
    was: Told | None
    now: Told | None
    by_rule: bool = False  # whether its words are told of another rule too

    def same(self, one: Points, other: Points) -> bool:
        """Tell whether two answers say the same of it."""
        return all(one.get(point) == other.get(point) for point in self.points)

    def told(self) -> tuple[str | None, str | None]:
        """Give what was told and what is, in words that tell them apart."""
        was, now = self.was, self.now
        if was is None or now is None:
            return self._alone(was), self._alone(now)
        if len(self.points) == 1:
            return was.value, now.value
        if was.says != now.says:
            return was.says, now.says
        return (was.whole, now.whole) if was.whole != now.whole else (_by_rule(was), _by_rule(now))

    def _alone(self, told: Told | None) -> str | None:
        if told is None:
            return None
        return _by_rule(told) if self.by_rule else told.says


def _by_rule(told: Told) -> str:
    return f"{told.says} [{told.rule}]"


def paired(differing: Sequence[Point], before: Points, after: Points, stood: Mapping[str, str]) -> Iterator[Differing]:
    """Give what differs; what a rule no longer says goes with what it, or the one in its place, says instead.

    `stood` has the rules of the second answer that stand in place of one of the first, or go on from it.
    """
    gone: dict[tuple[str, str], list[Point]] = {}
    instead: dict[Point, Point] = {}
    for point in differing:
        if point not in after and before[point].rule:
            gone.setdefault((point.what, before[point].rule), []).append(point)
    for point in differing:
        rule = after[point].rule if point not in before else ""
        if those := gone.get((point.what, stood.get(rule, rule))):
            instead[those.pop(0)] = point
    left = set(differing).difference(instead, instead.values())
    twice = _said(before, left - after.keys()) & _said(after, left - before.keys())
    for point in differing:
        was, now = before.get(point), after.get(point)
        if point in instead:
            yield Differing((point, instead[point]), was, after[instead[point]])
        elif point in left:
            yield Differing((point,), was, now, any((point.what, one.says) in twice for one in (was, now) if one))


def _said(told: Points, points: Iterable[Point]) -> set[tuple[str, str]]:
    return {(point.what, told[point].says) for point in points}
