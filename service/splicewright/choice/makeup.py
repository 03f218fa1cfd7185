"""The ordered work steps for one option, with the figures of its listing."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property
from typing import Any

import orjson

from splicewright.catalogue import Connector
from splicewright.choice.json_fragments import step_text
from splicewright.engine import Finding
from splicewright.question.model import Joint
from splicewright.question.vocabulary import PHASES

Figure = dict[str, Any]  # {value, unit}


@dataclass(frozen=True, slots=True)
class _OfMethod:
    """The steps for one method in their order, and those of them that take their figure from the listing, by place."""

    steps: tuple[Finding, ...]
    of_listing: tuple[int, ...]


class MakeUp:
    """The work steps for one joint, in the order of phases, then of rule ids; worked out once for like connectors."""

    def __init__(self, joint: Joint, steps: Iterable[Finding]) -> None:
        """Take the steps that the rules found for the joint."""
        self._joint = joint
        self._found = steps
        self._by_method: dict[str, _OfMethod] = {}
        self._told: dict[Connector, tuple[list[bytes], list[str]]] = {}
        self._held: dict[tuple[str, tuple[bool, ...]], tuple[tuple[int, bytes | None], ...]] = {}

    def steps(self, connector: Connector) -> list[dict[str, Any]]:
        """Give the steps that hold for a connector, with its figures.

        A step that takes its figure from the listing is left out where the listing is silent; where it is not, it
        stands in place of the common figure for the same work (`proves`).
        """
        found: list[dict[str, Any]] = orjson.loads(b"[%b]" % b",".join(self.texts(connector)))
        return found

    def texts(self, connector: Connector) -> list[bytes]:
        """Give the steps that hold for a connector as JSON text."""
        return self._told_of(connector)[0]

    def rules(self, connector: Connector) -> list[str]:
        """Give the ids of the rules whose steps hold for a connector."""
        return self._told_of(connector)[1]

    def _told_of(self, connector: Connector) -> tuple[list[bytes], list[str]]:
        found = self._told.get(connector)
        if found is None:
            of_method, figures = self._figures(connector)
            steps = of_method.steps
            held = self._holding(connector.method, figures)
            texts = [step_text(steps[at], figures[at]) if text is None else text for at, text in held]
            found = self._told[connector] = (texts, [steps[at].rule.id for at, _ in held])
        return found

    @cached_property
    def _steps(self) -> list[Finding]:
        return sorted(self._found, key=lambda one: (_ORDER[str(one.rule.effect.phase)], one.rule.id))

    def _figures(self, connector: Connector) -> tuple[_OfMethod, dict[int, Figure | None]]:
        """Give the steps for a connector's method, and the figures of its listing by the place of their step."""
        of_method = self._by_method.get(connector.method)
        if of_method is None:
            of_method = self._by_method[connector.method] = self._of_method(connector.method)
        return of_method, {at: _listed(connector, self._joint, of_method.steps[at]) for at in of_method.of_listing}

    def _of_method(self, method: str) -> _OfMethod:
        steps = [step for step in self._steps if not step.rule.effect.methods or method in step.rule.effect.methods]
        of_listing = [at for at, step in enumerate(steps) if isinstance(step.rule.effect.value, dict)]
        return _OfMethod(tuple(steps), tuple(of_listing))

    def _holding(self, method: str, figures: dict[int, Figure | None]) -> tuple[tuple[int, bytes | None], ...]:
        """Give the places of the steps that hold, each with its text where that is the same for every connector."""
        key = (method, tuple([figure is not None for figure in figures.values()]))
        found = self._held.get(key)
        if found is None:
            steps = self._by_method[method].steps
            by_listing = {steps[at].rule.effect.proves for at, figure in figures.items() if figure} - {None}
            found = self._held[key] = tuple(
                (at, None if at in figures else _common_text(step))
                for at, step in enumerate(steps)
                if (figures[at] is not None if at in figures else step.rule.effect.proves not in by_listing)
            )
        return found


_ORDER = {phase: at for at, phase in enumerate(PHASES)}


def _listed(connector: Connector, joint: Joint, finding: Finding) -> Figure | None:
    value: Any = finding.rule.effect.value
    return connector.figure(value["listing"], joint)


def _common_text(finding: Finding) -> bytes:
    found: bytes | None = finding.kept.get("step")
    if found is None:
        value = finding.rule.effect.value
        found = finding.kept["step"] = step_text(finding, None if value is None else _common(str(value)))
    return found


def _common(quantity: str) -> Figure:
    number, _, unit = quantity.partition(" ")
    return {"value": float(number) if "." in number else int(number), "unit": unit}
