"""Puts the joints of a split to the listings and the rules, each once, and no more of them than may be."""

from __future__ import annotations

import functools
from collections.abc import Iterable
from dataclasses import fields, replace

from splicewright.catalogue import Connector
from splicewright.catalogue.model import Shape, shape_of
from splicewright.choice.loaded_rules import LoadedRules
from splicewright.choice.matching import Match, Option, rank
from splicewright.engine import Finding
from splicewright.question.model import Conductor, Joint, Question
from splicewright.question.read import merged
from splicewright.remedies.partition import Cost, JointPart, Partition, Task
from splicewright.rulebook.attributes import OF_JOINT
from splicewright.units import Size
from splicewright.work import Watch

#: Bounds of one search: joints put to the rules, joints held against the listings, parts looked at.
MOST_ASKED, MOST_FILLED, MOST_STEPS = 350, 1000, 60_000
#: How much work the first two of these are; the third is one piece of work.
ASKED, FILLED = 350, 25


class OutOfBounds(Exception):
    """As much was asked, or looked at, as may be for one split."""


class Asking:
    """What is learned of the joints that one question may be divided into, and how much work that was."""

    def __init__(self, question: Question, match: Match, holding: LoadedRules, watch: Watch | None) -> None:
        """Divide `question`, whose own match is `match`. `watch` is told of the work, and may end it."""
        self._question, self._match, self._holding, self._watch = question, match, holding, watch
        self._known: dict[Conductor, dict[JointPart, Cost | None]] = {}  # what parts cost, by their jumpers
        self._costs: dict[Joint, Cost | None] = {}
        self._taken: dict[tuple[int, Shape], bool] = {}
        self.work = 0
        self._asked = self._filled = self._steps = 0

    def begin(self) -> None:
        """Begin another search with bounds of its own; what was learned stays."""
        self._asked = self._filled = self._steps = 0

    def search(self, jumper: Conductor, larger: int, *, plain: bool) -> Partition:
        """Make ready a search with one kind of jumper, smaller than so many kinds of the conductors.

        The search raises `OutOfBounds`.
        """
        kinds = self._question.joint.conductors
        possible = self._possible(jumper)
        known = self._known.setdefault(jumper, {})
        alike = functools.cache(lambda one, count: replace(one, count=count))

        def cost_of(part: JointPart) -> Cost | None:
            if part not in known:
                taken = [alike(kind, n) for kind, n in zip(kinds, part.taken, strict=True) if n]
                known[part] = self._cost((*taken, alike(jumper, part.ends)), possible)
            return known[part]

        connectors = [self._match.index.catalogue.connectors[at] for at in self._match.index.places(possible)]
        most = tuple(_most_ends(connectors, jumper.size, min(jumper.size, kind.size)) for kind in kinds)
        return Partition(Task(tuple(kind.count for kind in kinds), most, larger, plain), cost_of, self._step)

    def _step(self) -> None:
        self.work += 1
        self._steps += 1
        if self._steps > MOST_STEPS:
            raise OutOfBounds

    def _possible(self, jumper: Conductor) -> int:
        """Give the connectors, as bits of the index, that may take some joint of a split with such jumpers.

        What the whole joint is refused for, for reasons that all of its conductors and the jumper share, is refused to
        every part of it.
        """
        shared = _shared((*self._question.joint.conductors, jumper))
        behind = self._holding.rules_of(self._question).given_behind
        index, derived = self._match.index, self._match.derived

        def is_shared(finding: Finding) -> bool:
            return all(not name.startswith("conductor.") or name in shared for name in behind[finding.rule.id])

        bits = self._match.carried
        for bar in filter(is_shared, derived.method_bars):
            bits &= ~index.of_methods(bar.rule.effect.methods)
        tests = [test for demand in filter(is_shared, derived.demands) for test in demand.tests]
        for test in tests:
            if test.attribute not in OF_JOINT:
                bits &= index.passing(test)
        return bits

    def _cost(self, conductors: tuple[Conductor, ...], possible: int) -> Cost | None:
        joint = replace(self._question.joint, conductors=conductors)
        if not self._is_taken(shape_of(joint), possible):
            return None
        joint = replace(joint, conductors=merged(conductors))
        if joint not in self._costs:
            self._costs[joint] = self._asked_cost(joint)
        return self._costs[joint]

    def _is_taken(self, shape: Shape, possible: int) -> bool:
        """Say whether some listing takes these conductors: told sooner than what the rules say of them."""
        self.work += FILLED
        if self._watch is not None:
            self._watch(FILLED)
        self._filled += 1
        if self._filled > MOST_FILLED:
            raise OutOfBounds
        index, key = self._match.index, (possible, shape)
        if key not in self._taken:
            self._taken[key] = any(index.fill(at, shape).basis for at in index.places(possible))
        return self._taken[key]

    def _asked_cost(self, joint: Joint) -> Cost | None:
        self.work += ASKED
        if self._watch is not None:
            self._watch(ASKED)
        self._asked += 1
        if self._asked > MOST_ASKED:
            raise OutOfBounds
        match = self._holding.match(replace(self._question, joint=joint))
        return _cost(match.options[0]) if match.outcome == "options" else None


def _cost(option: Option) -> Cost:
    """Give what a joint adds to the cost of a split: the order of `rank`, in numbers that can be added up."""
    bracketed, weight, _ = rank(option)
    return (int(bracketed), weight)


def _shared(conductors: Iterable[Conductor]) -> frozenset[str]:
    """Give the names of the conductors' facts that are the same for all of them."""
    each, named = list(conductors), [field.name for field in fields(Conductor) if field.name != "count"]
    return frozenset(f"conductor.{name}" for name in named if len({getattr(one, name) for one in each}) == 1)


def _most_ends(connectors: Iterable[Connector], jumper: Size, smallest: Size) -> int:
    """Give the most ends that any of these takes of which one is a jumper's and none smaller than the smallest."""
    most = 0
    for connector in connectors:
        for take in connector.takes:
            for combination in take.combinations:
                if combination.areas[0] >= jumper.area:
                    most = max(most, sum(area >= smallest.area for area in combination.areas))
            ports = [port for port in take.ports if any(smallest <= one.most for one in port.ranges)]
            most = max(most, sum(port.count * port.conductors for port in ports))
    return most
