"""The ordered work steps for one option, with the figures of its listing."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from splicewright.catalogue import Connector
from splicewright.engine import Finding
from splicewright.question.model import Joint
from splicewright.question.vocabulary import PHASES


class MakeUp:
    """The work steps for one joint, in the order of phases, then of rule ids; filtered once for each method."""

    def __init__(self, joint: Joint, steps: Iterable[Finding]) -> None:
        """Take the steps that the rules found for the joint."""
        self._joint = joint
        self._steps = sorted(steps, key=lambda one: (_ORDER[str(one.rule.effect.phase)], one.rule.id))
        self._by_method: dict[str, list[Finding]] = {}

    def steps(self, connector: Connector) -> list[dict[str, Any]]:
        """Give the steps that hold for a connector, with its figures.

        A step that takes its figure from the listing is left out where the listing is silent; where it is not, it
        stands in place of the common figure for the same work (`proves`).
        """
        holding = self._of_method(connector.method)
        listed = {one.rule.id: _listed(connector, self._joint, one) for one in holding if _of_listing(one)}
        by_listing = {one.rule.effect.proves for one in holding if listed.get(one.rule.id)} - {None}
        written = []
        for one in holding:
            effect = one.rule.effect
            if one.rule.id in listed:
                value = listed[one.rule.id]
                if value is None:
                    continue
            elif effect.proves in by_listing:
                continue
            else:
                value = None if effect.value is None else _common(str(effect.value))
            step: dict[str, Any] = {"phase": effect.phase, "do": one.do}
            if value is not None:
                step["value"] = value
            step["rule"] = one.rule.id
            written.append(step)
        return written

    def _of_method(self, method: str) -> list[Finding]:
        found = self._by_method.get(method)
        if found is None:
            found = [one for one in self._steps if not one.rule.effect.methods or method in one.rule.effect.methods]
            self._by_method[method] = found
        return found


_ORDER = {phase: at for at, phase in enumerate(PHASES)}


def _of_listing(finding: Finding) -> bool:
    return isinstance(finding.rule.effect.value, dict)


def _listed(connector: Connector, joint: Joint, finding: Finding) -> dict[str, Any] | None:
    value: Any = finding.rule.effect.value
    return connector.figure(value["listing"], joint)


def _common(quantity: str) -> dict[str, Any]:
    number, _, unit = quantity.partition(" ")
    return {"value": float(number) if "." in number else int(number), "unit": unit}
