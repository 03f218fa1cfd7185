"""All that the rules found in one question, each kind of findings told when it is first asked for."""

from __future__ import annotations

import itertools
from collections.abc import Mapping

from splicewright.engine.finding_templates import KINDS, Finding, FindingTemplates
from splicewright.engine.fired_rules import FiredRules
from splicewright.question.facts import Facts


class FindingSet:
    """What the rules found, each kind of findings in the order of rule ids, then words."""

    __slots__ = ("_fired", "_numbers", "_templates", "_told")

    def __init__(self, fired: FiredRules, numbers: Mapping[str, int], templates: FindingTemplates) -> None:
        """Tell what fired, by the templates of the rules; `numbers` are the rules of each kind, as bits."""
        self._fired, self._numbers, self._templates = fired, numbers, templates
        self._told: dict[str, tuple[Finding, ...]] = {}

    def without(self, *kinds: str) -> FindingSet:
        """Give the same without the findings of some kinds."""
        return FindingSet(self._fired, {**self._numbers, **dict.fromkeys(kinds, 0)}, self._templates)

    def of_kind(self, kind: str) -> tuple[Finding, ...]:
        """Give the findings of one of `KINDS`."""
        found = self._told.get(kind)
        if found is None:
            fired = self._fired
            found = self._told[kind] = self._templates.findings(fired.fired & self._numbers[kind], fired)
        return found

    @property
    def facts(self) -> Facts:
        """The facts of the question."""
        return self._fired.facts

    @property
    def conclusions(self) -> tuple[Finding, ...]:
        """What was concluded."""
        return self.of_kind("conclude")

    @property
    def demands(self) -> tuple[Finding, ...]:
        """What is asked of the connector."""
        return self.of_kind("demand")

    @property
    def joint_bars(self) -> tuple[Finding, ...]:
        """What bars the joint."""
        return self.of_kind("joint-bar")

    @property
    def method_bars(self) -> tuple[Finding, ...]:
        """What bars methods."""
        return self.of_kind("method-bar")

    @property
    def referrals(self) -> tuple[Finding, ...]:
        """What hands the joint over."""
        return self.of_kind("refer")

    @property
    def preferences(self) -> tuple[Finding, ...]:
        """What is preferred of a connector."""
        return self.of_kind("prefer")

    @property
    def steps(self) -> tuple[Finding, ...]:
        """How the joint is made up."""
        return self.of_kind("step")

    @property
    def cautions(self) -> tuple[Finding, ...]:
        """What is to be minded."""
        return self.of_kind("caution")

    @property
    def defects(self) -> tuple[Finding, ...]:
        """Of proposed splices only: what is wrong with them."""
        return self.of_kind("defect")

    @property
    def asks(self) -> tuple[Finding, ...]:
        """Of proposed splices only: what must be stated."""
        return self.of_kind("ask")

    @property
    def tolerances(self) -> tuple[Finding, ...]:
        """Of proposed splices only: how far off a figure may be."""
        return self.of_kind("tolerance")

    @property
    def arising(self) -> tuple[Finding, ...]:
        """Of each concern the cases that arise."""
        return self.of_kind("arise")

    @property
    def always_told(self) -> tuple[tuple[Finding, ...], ...]:
        """The findings that every whole answer tells, whatever its options."""
        return (
            self.conclusions,
            self.demands,
            self.joint_bars,
            self.method_bars,
            self.referrals,
            self.cautions,
        )

    @property
    def blocked(self) -> str | None:
        """Give `refer` or `barred` where no connector can be chosen at all."""
        if self._fired.fired & self._numbers["refer"]:
            return "refer"
        return "barred" if self._fired.fired & self._numbers["joint-bar"] else None

    @property
    def findings(self) -> tuple[Finding, ...]:
        """All findings by rule id, then words."""
        return tuple(sorted(itertools.chain.from_iterable(self.kinds), key=lambda one: one.rule.id))

    @property
    def kinds(self) -> tuple[tuple[Finding, ...], ...]:
        """The findings of each kind."""
        return tuple(map(self.of_kind, KINDS))
