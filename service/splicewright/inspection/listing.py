"""The proposed connector, or method, against what the joint asks: referrals, bars, demands and fill."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

from splicewright.catalogue import Connector
from splicewright.choice.loaded_rules import CompiledRules
from splicewright.choice.matching import Match, Option, Refusal
from splicewright.choice.reasons import listed_value
from splicewright.engine import Finding, FindingSet
from splicewright.inspection.model import CONNECTOR, Point
from splicewright.inspection.read import Check
from splicewright.question.facts import fact_line
from splicewright.rulebook.attributes import OF_JOINT


@dataclass(frozen=True)
class ProposalMatch:
    """How what is proposed stands in the catalogue, whether or not the joint itself may be made."""

    check: Check
    match: Match
    rules: CompiledRules

    @cached_property
    def _open(self) -> Match:
        """The match as if no bar on the joint and no referral stood in the way: their other reasons count too."""
        return replace(self.match, derived=self.match.derived.without("refer", "joint-bar"))

    @property
    def derived(self) -> FindingSet:
        """What the rules found for the joint."""
        return self.match.derived

    @cached_property
    def option(self) -> Option | None:
        """The proposed connector as it would be offered, but for bars on the joint and referrals."""
        return next((option for option in self._open.options if option.connector is self.check.connector), None)

    @cached_property
    def possible(self) -> tuple[Connector, ...]:
        """The connectors of the proposed method that would do."""
        return tuple(option.connector for option in self._open.options if option.connector.method == self.check.method)

    @cached_property
    def meant(self) -> tuple[Connector, ...]:
        """The connectors that may be meant: the one named, else those that would do, else all of the method."""
        if self.check.connector:
            return (self.check.connector,)
        return self.possible or tuple(
            connector for connector in self.match.index.catalogue.connectors if connector.method == self.check.method
        )

    @cached_property
    def refusals(self) -> list[Refusal]:
        """The refusals of the connectors that are meant; none where what is proposed would do."""
        if self.option or (self.check.connector is None and self.possible):
            return []
        wanted = {id(one) for one in self.meant}
        return [refusal for refusal in self._open.refusals(self.rules.fill_words) if id(refusal.connector) in wanted]

    def points(self) -> Iterator[Point]:
        """Give every point on the joint itself, the method and the listing."""
        for referral in self.derived.referrals:
            yield Point("unproven", referral.rule.id, referral.says, referral.rests_on)
        for bar in self.derived.joint_bars:
            yield Point("violation", bar.rule.id, bar.says, bar.rests_on)
        for bar in self.derived.method_bars:
            if self.check.method in bar.rule.effect.methods:
                yield Point("violation", bar.rule.id, bar.says, (*bar.rests_on, self._proposed), self._about)
        if self.check.connector is None:
            yield from self._reasons_of_all()
            return
        yield from self._reasons()
        yield from self._met(self.check.connector)

    @property
    def _proposed(self) -> str:
        connector = self.check.connector
        return (
            fact_line("proposal.connector", connector.id)
            if connector
            else fact_line("proposal.method", self.check.method)
        )

    @property
    def _about(self) -> str:
        return CONNECTOR if self.check.connector else "/proposal/method"

    def _reasons(self) -> Iterator[Point]:
        """Give the reasons for which the named connector is refused."""
        barred = {bar.rule.id for bar in self.derived.method_bars}
        for refusal in self.refusals:
            for reason in refusal.because:
                if reason.rule not in barred:
                    rests_on = (*self._grounds(reason.rule, reason.says), self._proposed)
                    yield Point("violation", reason.rule, reason.whole, rests_on, CONNECTOR)

    def _reasons_of_all(self) -> Iterator[Point]:
        """Give the reasons for which every connector of the method is refused, where none would do."""
        barred = {bar.rule.id for bar in self.derived.method_bars}
        if self.possible:
            return
        found: dict[tuple[str, str], list[str]] = {}
        for refusal in self.refusals:
            for reason in refusal.because:
                if reason.rule not in barred:
                    found.setdefault((reason.rule, reason.says), []).append(refusal.connector.id)
        for (rule, says), ids in found.items():
            rests_on = (*self._grounds(rule, says), self._proposed)
            yield Point("violation", rule, says, rests_on, "/proposal/method", connectors=tuple(sorted(set(ids))))

    def _grounds(self, rule: str, says: str) -> Sequence[str]:
        """Give what a demand with these words rests on; a verdict of fill rests on the conductors, which it names."""
        return [
            line
            for demand in self.derived.demands
            if (demand.rule.id, demand.says) == (rule, says)
            for line in demand.rests_on
        ]

    def _met(self, connector: Connector) -> Iterator[Point]:
        """Give the demands that the named connector's listing meets."""
        refused = {(reason.rule, reason.says) for refusal in self.refusals for reason in refusal.because}
        attributes = self.option.attributes if self.option else connector.attributes
        for demand in self.derived.demands:
            if (demand.rule.id, demand.says) not in refused and not self._unknown(demand):
                how = "; ".join(
                    f"{test.attribute}: {listed_value(attributes, test.attribute)}" for test in demand.tests
                )
                rests_on = (*demand.rests_on, self._proposed)
                yield Point("confirmed", demand.rule.id, demand.says, rests_on, CONNECTOR, how=how)

    def _unknown(self, demand: Finding) -> bool:
        """Say whether a demand asks for what only a connector that takes the joint has."""
        return self.option is None and any(test.attribute in OF_JOINT for test in demand.tests)
