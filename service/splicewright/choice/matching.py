"""Demands against listings: which connectors may make the joint, and every reason why the others may not."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any
from weakref import WeakKeyDictionary

from splicewright.catalogue import Connector, Fill, meets
from splicewright.catalogue.by_demand import DemandIndex
from splicewright.catalogue.shape import Shape, shape_of
from splicewright.choice.findings import Derived
from splicewright.choice.wording import listed_value
from splicewright.engine import Finding
from splicewright.question.model import Joint
from splicewright.rulebook import Rule
from splicewright.rulebook.effects import STRENGTHS
from splicewright.rulebook.model import ListingTest

#: Attributes that a connector has only together with a joint.
OF_JOINT = frozenset({"fill", "spare_ports"})


@dataclass(frozen=True, slots=True)
class Reason:
    """Why a connector is refused: the rule and its sentence."""

    rule: str
    says: str


@dataclass(frozen=True)
class Option:
    """A connector that may make the joint."""

    connector: Connector
    fill: Fill
    preferred: tuple[Finding, ...]

    @cached_property
    def attributes(self) -> Mapping[str, Any]:
        """Its listed attributes with what this joint makes of them."""
        return attributes_here(self.connector, self.fill)


@dataclass(frozen=True, slots=True)
class Refusal:
    """A connector that may not, with all of its reasons."""

    connector: Connector
    because: tuple[Reason, ...]


def attributes_here(connector: Connector, fitted: Fill) -> Mapping[str, Any]:
    """Give a connector's listed attributes with what this joint makes of them: fill and spare ports."""
    here = dict(connector.attributes)
    if fitted.basis:
        here["fill"] = fitted.basis
    if fitted.spare_ports is not None:
        here["spare_ports"] = fitted.spare_ports
    return here


@dataclass(frozen=True)
class Match:
    """What one joint asks of every connector of a catalogue, and which of them answer it."""

    index: DemandIndex
    joint: Joint
    derived: Derived
    _fits: dict[int, Fill] = field(default_factory=dict, init=False, repr=False, compare=False)

    @cached_property
    def _shape(self) -> Shape:
        return shape_of(self.joint)

    @cached_property
    def sound(self) -> int:
        """The connectors that no bar and no demand on the listing alone refuses, as bits of the index."""
        index = self.index
        bits = index.everything
        for bar in self.derived.method_bars:
            bits &= ~index.of_methods(bar.rule.effect.methods)
        for demand in self.derived.demands:
            for test in demand.tests:
                if test.attribute not in OF_JOINT:
                    bits &= index.passing(test)
        return bits

    @cached_property
    def options(self) -> list[Option]:
        """The connectors that may make the joint, best first; none where it is barred or handed over."""
        if self.derived.blocked:
            return []
        on_joint = [test for demand in self.derived.demands for test in _on_joint(demand)]
        found = []
        for at in self.index.places(self.sound):
            connector = self.index.catalogue.connectors[at]
            fitted = self._fits[at] = self.index.fill(at, self._shape)
            if fitted.basis is None:
                continue
            here = attributes_here(connector, fitted) if on_joint else connector.attributes
            if all(meets(here, test) for test in on_joint):
                found.append(Option(connector, fitted, self._preferred(at, fitted)))
        return sorted(found, key=rank)

    @property
    def outcome(self) -> str:
        """Give the answer's outcome: `refer` first, else `barred`, else `no-connector`, else `options`."""
        return self.derived.blocked or ("options" if self.options else "no-connector")

    @property
    def refused_count(self) -> int:
        """How many connectors are refused; none are looked at where the joint is barred or handed over."""
        return 0 if self.derived.blocked else len(self.index.catalogue.connectors) - len(self.options)

    @cached_property
    def _wishes(self) -> list[tuple[Finding, int, list[ListingTest]]]:
        """Each preference with the connectors whose listing alone meets it, and its tests on the joint."""
        found = []
        for one in self.derived.preferences:
            bits = self.index.everything
            for test in one.tests:
                if test.attribute not in OF_JOINT:
                    bits &= self.index.passing(test)
            found.append((one, bits, _on_joint(one)))
        return found

    def _preferred(self, at: int, fitted: Fill) -> tuple[Finding, ...]:
        connector = self.index.catalogue.connectors[at]
        return tuple(
            [
                one
                for one, bits, on_joint in self._wishes
                if bits >> at & 1
                and (not on_joint or all(meets(attributes_here(connector, fitted), test) for test in on_joint))
            ]
        )

    def refusals(self, words: Mapping[str, Rule]) -> list[Refusal]:
        """Give every other connector with all of its reasons, in the order of ids. `words` has the rules for fill."""
        if self.derived.blocked:
            return []
        index = self.index
        refused = index.everything
        for option in self.options:
            refused &= ~(1 << index.place(option.connector))
        because: dict[int, list[Reason]] = {at: [] for at in index.places(refused)}
        for bar in self.derived.method_bars:
            for at in index.places(refused & index.of_methods(bar.rule.effect.methods)):
                because[at].append(Reason(bar.rule.id, bar.says))
        fits = {at: self._fits.get(at) or index.fill(at, self._shape) for at in because}
        for at, fitted in fits.items():
            if fitted.verdict:
                rule = words[fitted.verdict]
                because[at].append(Reason(rule.id, f"{rule.says} Here: {fitted.by}."))
        for demand in self.derived.demands:
            for at, listed in self._failing(demand, refused, fits).items():
                because[at].append(Reason(demand.rule.id, f"{demand.says} Here: {'; '.join(listed)}."))
        return [Refusal(index.catalogue.connectors[at], tuple(reasons)) for at, reasons in because.items()]

    def _failing(self, demand: Finding, refused: int, fits: Mapping[int, Fill]) -> dict[int, list[str]]:
        """Give, for each connector that fails the demand, what its listing says instead."""
        found: dict[int, list[str]] = {}
        for test in demand.tests:
            if test.attribute in OF_JOINT:
                # A fill that was refused has been told already, in the words for its verdict.
                for at, fitted in fits.items():
                    here = attributes_here(self.index.catalogue.connectors[at], fitted)
                    if fitted.verdict is None and not meets(here, test):
                        found.setdefault(at, []).append(f"{test.attribute}: {listed_value(here, test.attribute)}")
            else:
                for at in self.index.places(refused & ~self.index.passing(test)):
                    listed = _listed(self.index.catalogue.connectors[at], test.attribute)
                    found.setdefault(at, []).append(listed)
        return found


#: What was said of each connector's attributes, for as long as its catalogue is in use.
_said: WeakKeyDictionary[Connector, dict[str, str]] = WeakKeyDictionary()


def _listed(connector: Connector, attribute: str) -> str:
    said = _said.setdefault(connector, {})
    if attribute not in said:
        said[attribute] = f"{attribute}: {listed_value(connector.attributes, attribute)}"
    return said[attribute]


def rank(option: Option) -> tuple[object, ...]:
    """Order options: listed before bracketed, then preferences (strong ones first), comfort of fill, id."""
    strengths = [finding.rule.effect.strength for finding in option.preferred]
    counts = tuple(-strengths.count(strength) for strength in STRENGTHS)
    return (option.fill.basis != "listed", *counts, -option.fill.comfort, option.connector.id)


def _on_joint(finding: Finding) -> list[ListingTest]:
    return [test for test in finding.tests if test.attribute in OF_JOINT]
