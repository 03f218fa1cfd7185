"""The ordered work steps for one option, with the figures of its listing."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from splicewright.catalogue import Connector
from splicewright.engine import Finding
from splicewright.question.model import Joint
from splicewright.question.vocabulary import PHASES


def make_up(connector: Connector, joint: Joint, steps: Iterable[Finding]) -> list[dict[str, Any]]:
    """Give the steps that hold for the connector's method, in the order of phases, then of rule ids.

    A step that takes its figure from the listing is left out where the listing is silent; where it is not, it stands in
    place of the common figure for the same work (`proves`).
    """
    holding = [one for one in steps if not one.rule.effect.methods or connector.method in one.rule.effect.methods]
    figures = {one.rule.id: _figure(connector, joint, one.rule.effect.value) for one in holding}
    by_listing = {one.rule.effect.proves for one in holding if _of_listing(one) and figures[one.rule.id]} - {None}
    kept = [
        one
        for one in holding
        if (figures[one.rule.id] if _of_listing(one) else one.rule.effect.proves not in by_listing)
    ]
    kept.sort(key=lambda one: (PHASES.index(str(one.rule.effect.phase)), one.rule.id))
    return [_step(one, figures[one.rule.id]) for one in kept]


def _of_listing(finding: Finding) -> bool:
    return isinstance(finding.rule.effect.value, dict)


def _step(finding: Finding, figure: Any) -> dict[str, Any]:
    written: dict[str, Any] = {"phase": finding.rule.effect.phase, "do": finding.do}
    if figure is not None:
        written["value"] = figure
    return {**written, "rule": finding.rule.id}


def _figure(connector: Connector, joint: Joint, value: Any) -> dict[str, Any] | None:
    if isinstance(value, str):
        number, _, unit = value.partition(" ")
        return {"value": float(number) if "." in number else int(number), "unit": unit}
    return connector.figure(value["listing"], joint) if value else None
