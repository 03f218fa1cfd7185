"""Demands against listings: which connectors may make the joint, and every reason why the others may not."""

from __future__ import annotations

import functools
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any, TypeVar
from weakref import WeakKeyDictionary

import orjson

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
    """Why a connector is refused: the rule and its sentence. `text` has them as JSON."""

    rule: str
    says: str
    text: bytes = field(repr=False, compare=False)

    @classmethod
    def of(cls, rule: str, says: str) -> Reason:
        """Give a reason."""
        return cls(rule, says, orjson.dumps({"rule": rule, "says": says}))


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
            bits &= _passing(index, demand)
        return bits

    @cached_property
    def options(self) -> list[Option]:
        """The connectors that may make the joint, best first; none where it is barred or handed over."""
        if self.derived.blocked:
            return []
        index, shape = self.index, self._shape
        on_joint = [test for demand in self.derived.demands for test in _on_joint(demand)]
        wishes = [(one, _passing(index, one), _on_joint(one)) for one in self.derived.preferences]
        found = []
        fitting = index.places(index.fitting(shape, self.sound))
        fills = index.fills(shape)
        for at in fitting:
            connector, fitted = index.catalogue.connectors[at], fills[at]
            if on_joint and not _meet_here(connector, fitted, on_joint):
                continue
            preferred = [
                one
                for one, bits, here in wishes
                if bits >> at & 1 and (not here or _meet_here(connector, fitted, here))
            ]
            found.append(Option(connector, fitted, tuple(preferred)))
        return sorted(found, key=rank)

    @property
    def outcome(self) -> str:
        """Give the answer's outcome: `refer` first, else `barred`, else `no-connector`, else `options`."""
        return self.derived.blocked or ("options" if self.options else "no-connector")

    @property
    def refused_count(self) -> int:
        """How many connectors are refused; none are looked at where the joint is barred or handed over."""
        return 0 if self.derived.blocked else len(self.index.catalogue.connectors) - len(self.options)

    def refusals(self, words: Mapping[str, Rule]) -> list[Refusal]:
        """Give every other connector with all of its reasons, in the order of ids. `words` has the rules for fill."""
        if self.derived.blocked:
            return []
        index, shape = self.index, self._shape
        refused = index.everything
        for option in self.options:
            refused &= ~(1 << index.place(option.connector))
        because: dict[int, list[Reason]] = {at: [] for at in index.places(refused)}
        for bar in self.derived.method_bars:
            reason = _barring(bar)
            for at in index.places(refused & index.of_methods(bar.rule.effect.methods)):
                because[at].append(reason)
        taking = index.fitting(shape, refused)
        fills = index.fills(shape)
        for at in index.places(refused & ~taking):
            fitted = fills[at]
            rule = words[str(fitted.verdict)]
            because[at].append(_unfit(rule.id, rule.says, str(fitted.by)))
        for demand in self.derived.demands:
            if _on_joint(demand):
                self._fail_here(demand, refused, taking, because)
            else:
                reasons = _reasons(index, demand)
                for at in index.places(refused & ~_passing(index, demand)):
                    because[at].append(reasons[at])
        return [Refusal(index.catalogue.connectors[at], tuple(reasons)) for at, reasons in because.items()]

    def _fail_here(self, demand: Finding, refused: int, taking: int, because: Mapping[int, list[Reason]]) -> None:
        """Add the reason to each connector that fails a demand of which a part depends on the joint."""
        # A fill that was refused has been told already, in the words for its verdict.
        on_listing = _on_listing(demand)
        for at in self.index.places(refused if on_listing else refused & taking):
            connector = self.index.catalogue.connectors[at]
            here = attributes_here(connector, self.index.fill(at, self._shape))
            tests = demand.tests if taking >> at & 1 else on_listing
            listed = [
                f"{test.attribute}: {listed_value(here, test.attribute)}" for test in tests if not meets(here, test)
            ]
            if listed:
                because[at].append(Reason.of(demand.rule.id, f"{demand.says} Here: {'; '.join(listed)}."))


def _meet_here(connector: Connector, fitted: Fill, tests: list[ListingTest]) -> bool:
    here = attributes_here(connector, fitted)
    return all(meets(here, test) for test in tests)


def _passing(index: DemandIndex, finding: Finding) -> int:
    """Give the connectors that pass what a finding asks of the listing alone. Kept with the finding."""
    found: int | None = finding.kept.get(index)
    if found is None:
        found = finding.kept[index] = index.passing_all(_on_listing(finding))
    return found


def _barring(bar: Finding) -> Reason:
    found: Reason | None = bar.kept.get("reason")
    if found is None:
        found = bar.kept["reason"] = Reason.of(bar.rule.id, bar.says)
    return found


@functools.lru_cache(maxsize=4096)
def _unfit(rule_id: str, says: str, by: str) -> Reason:
    return Reason.of(rule_id, f"{says} Here: {by}.")


_Made = TypeVar("_Made")


class _Each(dict[int, _Made]):
    """Something for each connector, by place; it is made when it is first wanted."""

    def __init__(self, connectors: Sequence[Connector], make: Callable[[Connector], _Made]) -> None:
        super().__init__()
        self._connectors, self._make = connectors, make

    def __missing__(self, at: int) -> _Made:
        """Make it for the connector in one place."""
        found = self[at] = self._make(self._connectors[at])
        return found


_MOST_KEPT = 1000


def _of_each(index: DemandIndex, key: tuple[Any, ...], make: Callable[[Connector], _Made]) -> _Each[_Made]:
    """Give what is made of each connector, kept with the index. It depends on nothing but the connector and the key."""
    found: _Each[_Made] | None = index.kept.get(key)
    if found is None:
        if len(index.kept) >= _MOST_KEPT:
            index.kept.clear()
        found = index.kept[key] = _Each(index.catalogue.connectors, make)
    return found


def _reasons(index: DemandIndex, demand: Finding) -> _Each[Reason]:
    """Give why connectors fail a demand on their listing alone."""
    rule_id, says, tests = demand.rule.id, demand.says, demand.tests

    def reason(connector: Connector) -> Reason:
        failed = [listed_text(connector, test.attribute) for test in tests if not meets(connector, test)]
        return Reason.of(rule_id, f"{says} Here: {'; '.join(failed)}.")

    return _of_each(index, ("fails", rule_id, says, tests), reason)


def met_text(demand: Finding, option: Option) -> bytes:
    """Write how an option meets a demand, as JSON text."""
    return _met_text(demand.rule.id, [test.attribute for test in demand.tests], option.attributes)


def met_texts(index: DemandIndex, demand: Finding) -> Callable[[Option], bytes]:
    """Give what writes how options of one catalogue meet a demand; it is written once for each connector."""
    if _on_joint(demand):
        return functools.partial(met_text, demand)
    rule_id, attributes = demand.rule.id, tuple([test.attribute for test in demand.tests])
    each = _of_each(
        index, ("meets", rule_id, attributes), lambda connector: _met_text(rule_id, attributes, connector.attributes)
    )
    return lambda option: each[index.place(option.connector)]


def refusals_text(index: DemandIndex, refusals: Iterable[Refusal]) -> bytes:
    """Write refusals as JSON text, commas between them."""
    named = _of_each(index, ("named",), _named_text)
    return b",".join(
        [
            b'{%b,"because":[%b]}'
            % (named[index.place(one.connector)], b",".join([reason.text for reason in one.because]))
            for one in refusals
        ]
    )


def _named_text(connector: Connector) -> bytes:
    return orjson.dumps({"connector": connector.id, "method": connector.method})[1:-1]


def _met_text(rule_id: str, attributes: Sequence[str], listed: Mapping[str, Any]) -> bytes:
    how = "; ".join([f"{one}: {listed_value(listed, one)}" for one in attributes])
    return orjson.dumps({"rule": rule_id, "how": how})


#: What was said of each connector's attributes, for as long as its catalogue is in use.
_said: WeakKeyDictionary[Connector, dict[str, str]] = WeakKeyDictionary()


def listed_text(connector: Connector, attribute: str) -> str:
    """Give an attribute with what a connector's listing says of it: `volts: 600 V`."""
    said = _said.setdefault(connector, {})
    if attribute not in said:
        said[attribute] = f"{attribute}: {listed_value(connector.attributes, attribute)}"
    return said[attribute]


def rank(option: Option) -> tuple[object, ...]:
    """Order options: listed before bracketed, then preferences (strong ones first), comfort of fill, id."""
    wishes = sum([_WEIGHTS[str(finding.rule.effect.strength)] for finding in option.preferred])
    return (option.fill.basis != "listed", -wishes, -option.fill.comfort, option.connector.id)


#: One preference of a strength outweighs all weaker ones together.
_WEIGHTS = {strength: 1 << 20 * place for place, strength in enumerate(reversed(STRENGTHS))}


def _on_joint(finding: Finding) -> list[ListingTest]:
    return [test for test in finding.tests if test.attribute in OF_JOINT]


def _on_listing(finding: Finding) -> list[ListingTest]:
    return [test for test in finding.tests if test.attribute not in OF_JOINT]
