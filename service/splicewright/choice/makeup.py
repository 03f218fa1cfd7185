"""The ordered work steps for one option, with its listing's figures; and what rules say of a splice as it was made.

A rule on proposed splices speaks of what one says, by its method, with the connectors it may mean.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property
from typing import Any

import orjson

from splicewright.catalogue import Connector, meets
from splicewright.engine import Finding, Statement
from splicewright.question.model import Joint
from splicewright.question.proposal import Proposal
from splicewright.question.vocabulary import PHASES
from splicewright.rulebook.model import Effect
from splicewright.rulebook.proposals import CONNECTOR

Figure = dict[str, Any]  # {value, unit}


@dataclass(frozen=True, slots=True)
class _OfMethod:
    """The steps for one method in their order, and those of them that take their figure from the listing, by place."""

    steps: tuple[Statement, ...]
    of_listing: tuple[int, ...]


class MakeUp:
    """The work steps for one joint, in the order of phases, then of rule ids; worked out once for like connectors."""

    def __init__(self, joint: Joint, steps: Iterable[Finding]) -> None:
        """Take the steps that the rules found for the joint."""
        self._joint = joint
        self._found = [step.statement for step in steps]
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

    def figures(self, connector: Connector, *phases: str) -> dict[str, Figure]:
        """Give the figure of the first step of each of these phases that has one: `{strip: {value, unit}}`."""
        of_method, figures = self._listed_figures(connector)
        found: dict[str, Figure] = {}
        for at, _ in self._holding(connector.method, figures):
            effect = of_method.steps[at].rule.effect
            if effect.value is not None and effect.phase in phases and effect.phase not in found:
                figure = figures[at] if at in figures else _common(str(effect.value))
                if figure is not None:
                    found[effect.phase] = figure
        return found

    def _told_of(self, connector: Connector) -> tuple[list[bytes], list[str]]:
        found = self._told.get(connector)
        if found is None:
            of_method, figures = self._listed_figures(connector)
            steps = of_method.steps
            held = self._holding(connector.method, figures)
            texts = [_step_text(steps[at], figures[at]) if text is None else text for at, text in held]
            found = self._told[connector] = (texts, [steps[at].rule.id for at, _ in held])
        return found

    @cached_property
    def _steps(self) -> list[Statement]:
        return sorted(self._found, key=lambda one: _ORDER[str(one.rule.effect.phase)])  # they come by rule id

    def _listed_figures(self, connector: Connector) -> tuple[_OfMethod, dict[int, Figure | None]]:
        """Give the steps for a connector's method, and the figures of its listing by the place of their step."""
        of_method = self._by_method.get(connector.method)
        if of_method is None:
            of_method = self._by_method[connector.method] = self._of_method(connector.method)
        return of_method, {at: _listed(connector, self._joint, of_method.steps[at]) for at in of_method.of_listing}

    def _of_method(self, method: str) -> _OfMethod:
        steps = [step for step in self._steps if not (only := step.rule.effect.methods) or method in only]
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


def _listed(connector: Connector, joint: Joint, step: Statement) -> Figure | None:
    value: Any = step.rule.effect.value
    return connector.figure(value["listing"], joint)


def _common_text(step: Statement) -> bytes:
    found: bytes | None = step.kept.get("step")
    if found is None:
        value = step.rule.effect.value
        found = step.kept["step"] = _step_text(step, None if value is None else _common(str(value)))
    return found


def _common(quantity: str) -> Figure:
    number, _, unit = quantity.partition(" ")
    return {"value": float(number) if "." in number else int(number), "unit": unit}


def _step_text(step: Statement, value: Figure | None) -> bytes:
    """Write a work step with its figure, if it has any."""
    written: dict[str, Any] = {"phase": step.rule.effect.phase, "do": step.do}
    if value is not None:
        written["value"] = value
    return orjson.dumps({**written, "rule": step.rule.id})


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
