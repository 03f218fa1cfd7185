"""One joint under two stacks: where its answers differ, and which changes bring that about.

What a change does alone is what the first stack says with it; it is needed where the second stack without it says what
the first one says. Both are derived, never guessed.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Any

from splicewright.catalogue import Catalogue
from splicewright.catalogue.connector_index import ConnectorIndex
from splicewright.choice.matching import Match
from splicewright.engine import CompiledRulebook, FindingSet
from splicewright.impact.changes import StackChange, connector_changes, rule_changes, table_changes
from splicewright.impact.differing import Differing, Points, paired
from splicewright.impact.points import Point, check_points, points
from splicewright.impact.proposed import judged_proposal, words_of_fill
from splicewright.impact.stacks import Stack
from splicewright.memo import Memo
from splicewright.question.facts import Facts, facts_of
from splicewright.question.model import Question
from splicewright.question.proposal import Proposal
from splicewright.rulebook import Rule

_BEST = Point("best")
_MOST_CATALOGUES = 200  # with one connector changed, kept


@dataclass(frozen=True, slots=True)
class Cause:
    """A change that a difference rests on."""

    change: StackChange
    alone: bool
    needed: bool


@dataclass(frozen=True, slots=True)
class Difference:
    """A point on which two answers differ; None where one does not say it."""

    point: Point
    was: str | None
    now: str | None
    because: tuple[Cause, ...]


class Comparison:
    """Two stacks, their rules compiled together, and joints put to both."""

    def __init__(self, old: Stack, new: Stack) -> None:
        """Compare from `old` to `new`. Raises `UnfitRulebook` where their rules can't be compiled together."""
        self.old, self.new = old, new
        self.rules = rule_changes(old.book, new.book)
        self.connectors = tuple(connector_changes(old.catalogue, new.catalogue))
        self._compiled = CompiledRulebook((*old.book.derived, *new.book.derived))
        pairs = [(change.was, change.now) for change in self.rules.changes]
        self._stood = {now.id: was.id for was, now in (*pairs, *self.rules.moved) if was and now}
        self.same_as = self.rules.same_as
        self._words = tuple(words_of_fill(stack.book) for stack in (old, new))
        self._masks = tuple(self._compiled.mask(stack.book.derived) for stack in (old, new))
        self._indexes = tuple(ConnectorIndex(stack.catalogue) for stack in (old, new))
        self._altered: Memo[tuple[int, frozenset[str]], ConnectorIndex] = Memo(_MOST_CATALOGUES)

    def close(self) -> None:
        """Give back what this process holds."""
        self._compiled.close()

    def differences(self, question: Question, proposal: Proposal | None = None) -> list[Difference]:
        """Put a joint to both stacks, with what is proposed for it; give where the answers differ.

        Code, amendments and catalogue are the stacks'.
        """
        joint = ComparedJoint(self, question, proposal)
        before, after = joint.points(0, ()), joint.points(1, ())
        differing = [point for point in {**before, **after} if before.get(point) != after.get(point)]
        if before.get(_BEST) != after.get(_BEST):  # another connector is made up otherwise
            differing = [point for point in differing if point.what != "step"]
        if not differing:
            return []
        tried = [(change, joint.points(0, (change,)), joint.points(1, (change,))) for change in joint.candidates()]
        return [
            Difference(one.points[0], *one.told(), tuple(_causes(one, before, after, tried)))
            for one in paired(differing, before, after, self._stood)
        ]

    def derive(self, side: int, facts: Facts, changes: Iterable[StackChange]) -> FindingSet:
        """Derive by the rules of a side, each change of a rule turned to what the other side has."""
        mask = self._masks[side]
        for change in changes:
            pair = (change.was, change.now) if side == 0 else (change.now, change.was)
            mask = mask & ~self.mask(pair[0]) | self.mask(pair[1])
        return self._compiled.derive(facts, mask)

    def words(self, side: int, changes: Iterable[StackChange]) -> Mapping[str, Rule]:
        """Give the words for each verdict of fill, each change of a rule turned to what the other side has."""
        others = [change.now if side == 0 else change.was for change in changes]
        return self._words[side] | {rule.effect.verdict: rule for rule in others if rule and rule.effect.verdict}

    def mask(self, rule: Rule | None) -> int:
        """Give a rule as a bit of what fires."""
        return 0 if rule is None else self._compiled.mask([rule])

    def fired(self, side: int, facts: Facts) -> int:
        """Give the rules that fire on a side, as bits."""
        return self._compiled.fired(facts, self._masks[side]).fired

    def index(self, side: int, connectors: frozenset[str]) -> ConnectorIndex:
        """Give the catalogue of a side, some connectors as the other side has them."""
        if not connectors:
            return self._indexes[side]
        if connectors == {change.name for change in self.connectors}:
            return self._indexes[1 - side]
        known = self._altered.get((side, connectors))
        if known is not None:
            return known
        own, other = [(self.old, self.new)[at].catalogue for at in (side, 1 - side)]
        return self._altered.keep((side, connectors), ConnectorIndex(_altered(own, other, connectors)))


def _altered(own: Catalogue, other: Catalogue, names: frozenset[str]) -> Catalogue:
    kept = [one for one in own.connectors if one.id not in names]
    kept += [one for one in other.connectors if one.id in names]
    return replace(own, connectors=tuple(sorted(kept, key=lambda one: one.id)))


class ComparedJoint:
    """One joint in a comparison: its facts by each code edition, and what it says under mixtures of both sides."""

    def __init__(self, comparison: Comparison, question: Question, proposal: Proposal | None = None) -> None:
        """Put a question to both stacks of a comparison, with what is proposed for its joint."""
        self._comparison, self._proposal = comparison, proposal
        stacks = (comparison.old, comparison.new)
        self._questions = [replace(question, code=stack.book.code) for stack in stacks]
        self._facts = [facts_of(one) for one in self._questions]

    def points(self, side: int, changes: Iterable[StackChange]) -> Points:
        """Give what is said under a side with changes turned to what the other side has."""
        changes = tuple(changes)
        tables = [change.name for change in changes if change.kind == "table"]
        facts = _mixed(self._questions[side], self._facts[side], self._facts[1 - side], tables)
        index = self._comparison.index(side, frozenset(one.name for one in changes if one.kind == "connector"))
        derived = self._comparison.derive(side, facts, changes)
        match = Match.of(index, self._questions[side], derived)
        found = points(match, self._same_as)
        if self._proposal is not None:
            words = self._comparison.words(side, changes)
            judged = judged_proposal(self._questions[side], self._proposal, match, words)
            found |= check_points(judged, self._same_as) if judged else {}
        return found

    @property
    def _same_as(self) -> Mapping[str, str]:
        return self._comparison.same_as

    def candidates(self) -> tuple[StackChange, ...]:
        """Give the changes that may concern it: of rules that fire on either side, of its measures, of connectors."""
        comparison = self._comparison
        fired = [comparison.fired(side, self._facts[side]) for side in (0, 1)]
        rules = [
            change
            for change in comparison.rules.changes
            if comparison.mask(change.was) & fired[0] or comparison.mask(change.now) & fired[1]
        ]
        if self._proposal is not None:  # it is told too why its connector does not take the conductors
            rules += [change for change in comparison.rules.changes if change.of_fill]
        return (*rules, *table_changes(self._measures()), *comparison.connectors)

    def _measures(self) -> set[str]:
        """Give the measures that the two code editions reckon otherwise."""
        old, new = self._facts
        differing = {name for name in {*old.single, *new.single} if old.value(name) != new.value(name)}
        for mine, other in zip(old.conductors, new.conductors, strict=True):
            differing |= {name for name in {*mine, *other} if mine.get(name) != other.get(name)}
        return differing


def _mixed(question: Question, own: Facts, other: Facts, names: Iterable[str]) -> Facts:
    """Give facts with the values that the other code edition gives to some measures."""
    names = tuple(names)
    if not names:
        return own

    def turned(mine: Mapping[str, Any], others: Mapping[str, Any]) -> dict[str, Any]:
        found = {name: value for name, value in mine.items() if name not in names}
        return found | {name: others[name] for name in names if name in others}

    conductors = tuple(map(turned, own.conductors, other.conductors))
    return Facts(turned(own.single, other.single), conductors, question)


def _causes(
    found: Differing, before: Points, after: Points, tried: Iterable[tuple[StackChange, Points, Points]]
) -> Iterator[Cause]:
    for change, with_it, without_it in tried:
        alone = found.same(with_it, after)
        needed = found.same(without_it, before)
        if alone or needed:
            yield Cause(change, alone, needed)
