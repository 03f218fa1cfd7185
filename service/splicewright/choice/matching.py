"""Demands against listings: which connectors may make the joint, and every reason why the others may not.

Beside them the rules on proposed splices: whether one speaks of a splice, with the connectors that it may mean.
"""

from __future__ import annotations

import functools
import itertools
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any

import orjson

from splicewright.catalogue import Connector, Fill, meets
from splicewright.catalogue.connector_index import ConnectorIndex
from splicewright.catalogue.model import Shape, shape_of
from splicewright.choice.telling import Reason, barring, failing, listed_text, listed_value, of_each, unfit
from splicewright.engine import Finding, FindingSet, Statement
from splicewright.question.model import Joint, Question
from splicewright.question.only import ANY, Only
from splicewright.question.proposal import Proposal
from splicewright.rulebook import Rule
from splicewright.rulebook.attributes import OF_JOINT
from splicewright.rulebook.effects import STRENGTHS
from splicewright.rulebook.model import Effect, ListingTest
from splicewright.rulebook.proposals import CONNECTOR

_OF_JOINT = frozenset(OF_JOINT)

#: Preferences, the strongest first, each with the connectors that meet it, as bits.
Preferred = tuple[tuple[Statement, int], ...]


@dataclass(slots=True, eq=False)  # not frozen: hundreds are made of a question, and freezing takes longest
class Option:
    """A connector that may make the joint, from its place in the index."""

    connector: Connector
    fill: Fill
    _shape: Shape
    _place: int
    _preferred: Preferred

    @property
    def preferred(self) -> tuple[Statement, ...]:
        """The preferences that it meets: the strongest first, those of a strength in the order of the findings."""
        return tuple([preference for preference, bits in self._preferred if bits >> self._place & 1])

    @property
    def attributes(self) -> Mapping[str, Any]:
        """Its listed attributes with what this joint makes of them."""
        return attributes_here(self.connector, self.fill, self._shape)


@dataclass(frozen=True, slots=True)
class Refusal:
    """A connector that may not, with all of its reasons."""

    connector: Connector
    because: tuple[Reason, ...]


def attributes_here(connector: Connector, fitted: Fill, shape: Shape) -> Mapping[str, Any]:
    """Give a connector's listed attributes with what this joint makes of them."""
    listed = connector.attributes_in(shape) if connector.varying else connector.attributes
    return {**listed, **fitted.attributes}


@dataclass(frozen=True)
class Match:
    """What one joint asks of every connector of a catalogue, and which of them answer it."""

    index: ConnectorIndex
    joint: Joint
    derived: FindingSet
    only: Only = ANY

    @classmethod
    def of(cls, index: ConnectorIndex, question: Question, derived: FindingSet) -> Match:
        """Match a question with a catalogue by what was derived for it."""
        return cls(index, question.joint, derived.with_all_demands() if index.states_more else derived, question.only)

    @cached_property
    def carried(self) -> int:
        """The connectors that the question does not narrow away, as bits of the index."""
        return self.index.carried(self.only)

    @property
    def not_carried(self) -> int:
        """How many connectors the question narrows away."""
        return (self.index.everything & ~self.carried).bit_count()

    @property
    def would_do_if_carried(self) -> bool:
        """Whether a connector that the question narrows away would be an option."""
        return bool(self.not_carried and replace(self, only=ANY).options)

    @cached_property
    def shape(self) -> Shape:
        """The joint as listings see it."""
        return shape_of(self.joint)

    @cached_property
    def refusing(self) -> tuple[Any, ...]:
        """What decides which connectors are refused and why: the same for joints that differ in the rest."""
        return (_numbers(self.derived.demands), _numbers(self.derived.method_bars), self.shape, self.only)

    @cached_property
    def sound(self) -> int:
        """The connectors that no bar and no demand on the listing alone refuses, as bits of the index."""
        index = self.index
        bits = self.carried
        for bar in self.derived.method_bars:
            bits &= ~index.of_methods(bar.rule.effect.methods)
        for demand in self.derived.demands:
            bits &= _passing(index, demand)
        return bits

    @cached_property
    def options(self) -> list[Option]:
        """The connectors that may make the joint, best first; none where it is barred or handed over."""
        if self.derived.blocked:
            return []
        key = (*self.refusing, _numbers(self.derived.preferences))
        options = self.index.options
        found: list[Option] | None = options.get(key)
        return options.keep(key, self._find_options()) if found is None else found

    def _find_options(self) -> list[Option]:
        index, shape = self.index, self.shape
        bits, fills = index.judged(shape, self.sound)
        for test in itertools.chain.from_iterable(_on_joint(index, demand) for demand in self.derived.demands):
            bits &= index.passing_here(shape, test, bits)
        connectors = index.catalogue.connectors
        preferred = self._preferred(bits)
        listed = sum([1 << at for at in index.places(bits) if fills[at].basis == "listed"])
        # Places are in the order of ids.
        return [
            Option(connectors[at], fills[at], shape, at, preferred)
            for part in _heaviest_first([listed, bits & ~listed], preferred)
            for at in index.places(part)
        ]

    def _preferred(self, among: int) -> Preferred:
        """Give which of some connectors meet each preference."""
        index, shape = self.index, self.shape
        found = []
        for preference in sorted(self.derived.preferences, key=_weight, reverse=True):
            bits = _passing(index, preference) & among
            for test in _on_joint(index, preference):
                bits &= index.passing_here(shape, test, bits)
            found.append((preference.statement, bits))
        return tuple(found)

    @property
    def outcome(self) -> str:
        """Give the answer's outcome: `refer` first, else `barred`, else `no-connector`, else `options`."""
        return self.derived.blocked or ("options" if self.options else "no-connector")

    @property
    def refused_count(self) -> int:
        """How many connectors are refused; none are looked at where the joint is barred or handed over."""
        return 0 if self.derived.blocked else self.carried.bit_count() - len(self.options)

    @cached_property
    def unproven_count(self) -> int:
        """How many connectors are refused only since their listings do not state what is asked."""
        index = self.index
        if self.derived.blocked or not index.silent:
            return 0
        bits = self.carried & index.silent
        for bar in self.derived.method_bars:
            bits &= ~index.of_methods(bar.rule.effect.methods)
        bits = index.fitting(self.shape, bits)
        for test in itertools.chain.from_iterable(demand.tests for demand in self.derived.demands):
            bits &= index.open_to(self.shape, test, bits)
        for option in self.options:
            bits &= ~(1 << index.place(option.connector))
        return bits.bit_count()

    def refusals(self, words: Mapping[str, Rule]) -> list[Refusal]:
        """Give every other connector with all of its reasons, in the order of ids. `words` has the rules for fill."""
        connectors = self.index.catalogue.connectors
        return [Refusal(connectors[at], tuple(reasons)) for at, reasons in self.because(words).items()]

    def _barred(self, because: Mapping[int, list[Reason]]) -> None:
        """Add to each connector why its method is barred; those that are narrowed away are not told."""
        for bar in self.derived.method_bars:
            reason = barring(bar)
            for at in self.index.places_of_methods(bar.rule.effect.methods):
                if at in because:
                    because[at].append(reason)

    def because(self, words: Mapping[str, Rule]) -> dict[int, list[Reason]]:
        """Give all reasons why each other connector is refused, by its place in the index."""
        if self.derived.blocked:
            return {}
        index, shape = self.index, self.shape
        refused = self.carried
        for option in self.options:
            refused &= ~(1 << index.place(option.connector))
        because: dict[int, list[Reason]] = {at: [] for at in index.places(refused)}
        # No option has a method that is barred, or fails a demand: all that do are among the refused.
        self._barred(because)
        taking, fills = index.judged(shape, refused)
        for at in index.places(refused & ~taking):
            fitted = fills[at]
            rule = words[str(fitted.verdict)]
            because[at].append(unfit(rule.id, rule.says, str(fitted.by)))
        for demand in self.derived.demands:
            if _on_joint(index, demand):
                self._fail_here(demand, fills, because)
            else:
                for at, reason in failing(index, demand, _passing(index, demand)):
                    if at in because:  # not narrowed away
                        because[at].append(reason)
        return because

    def _fail_here(self, demand: Finding, fills: Mapping[int, Fill], because: Mapping[int, list[Reason]]) -> None:
        """Add the reason to each connector that fails a demand of which a part depends on the joint."""
        on_listing = [test for test in demand.tests if test.attribute not in _OF_JOINT]
        for at, reasons in because.items():
            # A fill that was refused has been told already, in the words for its verdict.
            tests = demand.tests if fills[at].fits else on_listing
            if not tests:
                continue
            connector = self.index.catalogue.connectors[at]
            here = attributes_here(connector, fills[at], self.shape)
            failed = [test.attribute for test in tests if not meets(here, test)]
            if failed:
                listed = "; ".join(listed_text(connector, name, here) for name in failed)
                silent = connector.silent_on(here, failed)
                reasons.append(Reason.of(demand.rule.id, demand.says, listed, silent))


_counted = itertools.count(1)


def _numbers(findings: Iterable[Finding]) -> tuple[int, ...]:
    """Give a number for each statement that no other one has or ever had."""
    return tuple(
        [finding.kept.get("number") or finding.kept.setdefault("number", next(_counted)) for finding in findings]
    )


def _passing(index: ConnectorIndex, finding: Finding) -> int:
    """Give the connectors that pass what a finding asks of the listing alone. Kept with the finding."""
    found: int | None = finding.kept.get(index)
    if found is None:
        found = finding.kept[index] = index.passing_all(_on_listing(index, finding))
    return found


def met_text(demand: Finding, option: Option) -> bytes:
    """Write how an option meets a demand, as JSON text."""
    return _met_text(demand.rule.id, [test.attribute for test in demand.tests], option.attributes)


def met_texts(index: ConnectorIndex, demand: Finding) -> Callable[[Option], bytes]:
    """Give what writes how options of one catalogue meet a demand; it is written once for each connector."""
    if _on_joint(index, demand):
        return functools.partial(met_text, demand)
    rule_id, attributes = demand.rule.id, tuple([test.attribute for test in demand.tests])
    each = of_each(
        index, ("meets", rule_id, attributes), lambda connector: _met_text(rule_id, attributes, connector.attributes)
    )
    return lambda option: each[index.place(option.connector)]


def _met_text(rule_id: str, attributes: Sequence[str], listed: Mapping[str, Any]) -> bytes:
    how = "; ".join([f"{attribute}: {listed_value(listed, attribute)}" for attribute in attributes])
    return orjson.dumps({"rule": rule_id, "how": how})


def rank(option: Option) -> tuple[bool, int, str]:
    """Order options: listed before bracketed, then by preferences (strong ones first), then by id."""
    return (*_rank(option.fill, sum(map(_weight, option.preferred))), option.connector.id)


def _rank(fill: Fill, weight: int) -> tuple[bool, int]:
    return (fill.basis != "listed", -weight)


def _weight(preference: Finding | Statement) -> int:
    return _WEIGHTS[preference.rule.effect.strength]


#: One preference of a strength outweighs all weaker ones together.
_WEIGHTS: dict[str | None, int] = {strength: 1 << 20 * place for place, strength in enumerate(reversed(STRENGTHS))}


def _heaviest_first(parts: Iterable[int], preferred: Preferred) -> list[int]:
    """Part sets of connectors (bits) further, by how many preferences of each strength they meet: most come first."""
    found = [part for part in parts if part]
    for _, alike in itertools.groupby(preferred, key=lambda one: _weight(one[0])):
        for digit in reversed(_digits([bits for _, bits in alike])):
            found = [part for some in found for part in (some & digit, some & ~digit) if part]
    return found


def _digits(sets: Iterable[int]) -> list[int]:
    """Count in how many sets each bit is. Gives the counts' binary digits, the lowest first: who has a 1 there."""
    digits: list[int] = []
    for one in sets:
        carry = one
        for at, digit in enumerate(digits):
            digits[at], carry = digit ^ carry, digit & carry
        if carry:
            digits.append(carry)
    return digits


def _on_joint(index: ConnectorIndex, finding: Finding) -> list[ListingTest]:
    return [test for test in finding.tests if test.attribute in index.of_joint]


def _on_listing(index: ConnectorIndex, finding: Finding) -> list[ListingTest]:
    return [test for test in finding.tests if test.attribute not in index.of_joint]


# --- splices as they were made -------------------------------------------------------------------


def concerns(effect: Effect, proposal: Proposal, method: str) -> bool:
    """Say whether what a rule is about stands in a proposal (defect, tolerance), or is left open by it (ask)."""
    if effect.methods and method not in effect.methods:
        return False
    if effect.kind == "ask":
        return proposal.connector is None if effect.asks == CONNECTOR else effect.asks not in proposal.said
    if effect.kind == "tolerance":
        return effect.asks in proposal.said
    if effect.said is None:
        return effect.sign in proposal.signs
    word, wanted = effect.said
    return word in proposal.said and wanted in (None, proposal.said[word])


def excused(effect: Effect, connector: Connector) -> bool:
    """Say whether a connector's listing excuses from a step's proof or a defect."""
    return bool(effect.tests) and all(meets(connector, test) for test in effect.tests)


def speaks(effect: Effect, proposal: Proposal, method: str, connectors: Iterable[Connector]) -> bool:
    """Say whether a rule on proposals holds against (or asks of) one that may mean any of some connectors."""
    return concerns(effect, proposal, method) and not any(excused(effect, connector) for connector in connectors)
