"""Small changes that turn a refused joint into one that may be made; only those that the rules then accept.

The bars' rules say which leaves may change. Fewest changes come first: where one is enough, no two are tried.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterator
from dataclasses import dataclass, replace

from splicewright.choice.loaded_rules import LoadedRules
from splicewright.choice.matching import Match
from splicewright.engine import Finding
from splicewright.question.changes import Change, changed
from splicewright.question.model import Question

MOST_TRIED = 16  # questions put to the engine for one answer
MOST_TOGETHER = 3


@dataclass(frozen=True)
class Alteration:
    """Changes, each with the places of the conductors that it is made to, and what they lead to."""

    made: tuple[tuple[Change, frozenset[int]], ...]
    question: Question
    match: Match

    @property
    def changes(self) -> tuple[Change, ...]:
        """The changes alone."""
        return tuple(change for change, _ in self.made)

    @property
    def conductors(self) -> tuple[int, ...]:
        """The places in the question of the conductors that they alter."""
        return tuple(sorted({at for change, places in self.made if change.of_conductors for at in places}))


@dataclass(frozen=True)
class _Offer:
    """A change that bars offer, with all of the conductors that they offer it for."""

    change: Change
    conductors: frozenset[int]

    @property
    def touched(self) -> frozenset[str]:
        """The leaves that may be others then."""
        leaves = self.change.leaves
        # Conductors that become alike are counted together, and the volts of some kinds are stated by default.
        follow = {"conductor.count"} if self.change.of_conductors else set[str]()
        return leaves | follow | ({"circuit.volts"} if "circuit.kind" in leaves else set())


def refusing_bars(match: Match) -> tuple[Finding, ...]:
    """Give the bars that stand in the way: on the joint where it is barred, on methods where no connector is left."""
    derived = match.derived
    return {"barred": derived.joint_bars, "no-connector": derived.method_bars}.get(match.outcome, ())


def alterations(question: Question, match: Match, holding: LoadedRules) -> list[Alteration]:
    """Try what the bars offer: each change alone, then, only where none was enough, two together, then three.

    Where one change meets another bar, what that offers is tried on top of it.
    """
    search = _Search(question, match, holding)
    for together in range(1, MOST_TOGETHER + 1):
        found = search.found_by(together)
        if found:
            return found
    return []


class _Search:
    """What is tried for one question."""

    def __init__(self, question: Question, match: Match, holding: LoadedRules) -> None:
        self._question, self._holding = question, holding
        self._offers = _offers(refusing_bars(match))
        reads = holding.rules_of(question).given_behind
        self._needed = [reads[bar.rule.id] for bar in match.derived.joint_bars]
        self._tried = {question}
        self._barred_anew: list[Alteration] = []

    def found_by(self, together: int) -> list[Alteration]:
        """Give what so many changes together lead to. No further change of leaves by which a smaller one was enough."""
        found: list[Alteration] = []
        cured: set[frozenset[str]] = set()
        barred_anew, self._barred_anew = self._barred_anew, []
        for tried in itertools.chain(self._combined(together, cured), self._followed(barred_anew, cured)):
            if tried.match.outcome == "options":
                cured.add(_leaves(tried.changes))
                found.append(tried)
            elif tried.match.outcome == "barred":
                self._barred_anew.append(tried)
        return found

    def _combined(self, together: int, cured: set[frozenset[str]]) -> Iterator[Alteration]:
        for some in itertools.combinations(self._offers, together):
            leaves = _leaves(tuple([one.change for one in some]))
            if leaves in cured or not self._may_cure(some, leaves):
                continue
            made = tuple([(one.change, one.conductors) for one in some])
            yield from self._asked(made, changed(self._question, made))

    def _followed(self, barred: list[Alteration], cured: set[frozenset[str]]) -> Iterator[Alteration]:
        for before in barred:
            for bar in before.match.derived.joint_bars:
                for change in bar.rule.effect.remedies:
                    leaves = _leaves((*before.changes, change))
                    # Conductors stand in other places now; what bars them was offered for them before.
                    if change.split or change.of_conductors or leaves in cured:
                        continue
                    further = (change, frozenset[int]())
                    yield from self._asked((*before.made, further), changed(before.question, [further]))

    def _asked(self, made: tuple[tuple[Change, frozenset[int]], ...], altered: Question) -> Iterator[Alteration]:
        if altered not in self._tried and len(self._tried) <= MOST_TRIED:
            self._tried.add(altered)
            yield Alteration(made, altered, self._holding.match(altered))

    def _may_cure(self, some: tuple[_Offer, ...], leaves: frozenset[str]) -> bool:
        """Say whether each bar on the joint tests a leaf that changes, and no leaf is changed twice."""
        if sum([len(one.change.leaves) for one in some]) > len(leaves):
            return False
        touched = frozenset().union(*[one.touched for one in some])
        return not any(map(touched.isdisjoint, self._needed))


def _leaves(changes: tuple[Change, ...]) -> frozenset[str]:
    if len(changes) == 1:
        return changes[0].leaves
    return frozenset().union(*(change.leaves for change in changes))


def _offers(bars: tuple[Finding, ...]) -> list[_Offer]:
    """Give each change once, in the order of the bars: what several of them offer is one change to all they matched."""
    found: list[_Offer] = []
    for bar in bars:
        for change in bar.rule.effect.remedies:
            if change.split:
                continue
            at = next((at for at, one in enumerate(found) if one.change == change), None)
            if at is None:
                found.append(_Offer(change, frozenset(bar.conductors)))
            else:
                done = tuple(dict.fromkeys((*found[at].change.do, *change.do)))
                found[at] = _Offer(replace(change, do=done), found[at].conductors | set(bar.conductors))
    return found
