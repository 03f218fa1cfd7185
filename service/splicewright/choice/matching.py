"""Demands against listings: which connectors may make the joint, and every reason why the others may not."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from splicewright.catalogue import Catalogue, Connector, Fill, fill, meets
from splicewright.choice.findings import Derived
from splicewright.choice.wording import listed_value
from splicewright.engine import Finding
from splicewright.question.model import Joint
from splicewright.rulebook import Rule, Rulebook


@dataclass(frozen=True, slots=True)
class Reason:
    """Why a connector is refused, or preferred: the rule and its sentence."""

    rule: str
    says: str


@dataclass(frozen=True, slots=True)
class Option:
    """A connector that may make the joint."""

    connector: Connector
    fill: Fill
    attributes: Mapping[str, Any]
    preferred: tuple[Finding, ...]


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


def match(
    catalogue: Catalogue, joint: Joint, derived: Derived, rulebook: Rulebook
) -> tuple[list[Option], list[Refusal]]:
    """Try every connector of the catalogue. Options come unranked, refusals in the order of ids."""
    words = {rule.effect.verdict: rule for rule in rulebook.rules if rule.effect.kind == "refuse"}
    options, refusals = [], []
    for connector in catalogue.connectors:
        fitted = fill(connector, joint)
        here = attributes_here(connector, fitted)
        because = tuple(_reasons(connector, fitted, here, derived, words))
        if because:
            refusals.append(Refusal(connector, because))
        else:
            preferred = tuple(one for one in derived.preferences if all(meets(here, test) for test in one.tests))
            options.append(Option(connector, fitted, here, preferred))
    return options, refusals


def _reasons(
    connector: Connector,
    fitted: Fill,
    here: Mapping[str, Any],
    derived: Derived,
    words: Mapping[str | None, Rule],
) -> Iterator[Reason]:
    for bar in derived.method_bars:
        if connector.method in bar.rule.effect.methods:
            yield Reason(bar.rule.id, bar.says)
    if fitted.verdict:
        rule = words[fitted.verdict]
        yield Reason(rule.id, f"{rule.says} Here: {fitted.by}.")
    for demand in derived.demands:
        failed = [
            test for test in demand.tests if not meets(here, test) and not (test.attribute == "fill" and fitted.verdict)
        ]
        if failed:
            listed = "; ".join(f"{test.attribute}: {listed_value(here, test.attribute)}" for test in failed)
            yield Reason(demand.rule.id, f"{demand.says} Here: {listed}.")
