"""The proposed connector, or method, against what the joint asks: referrals, bars, demands and fill."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any

from splicewright.answering.finding_json import FindingTexts, Proof
from splicewright.catalogue import Connector
from splicewright.choice.matching import Match, Option, Refusal
from splicewright.choice.telling import listed_value
from splicewright.engine import Finding, FindingSet
from splicewright.inspection.model import CONNECTOR, Point, Standing
from splicewright.inspection.read import Check
from splicewright.rulebook import Rule
from splicewright.rulebook.attributes import OF_JOINT


@dataclass(frozen=True)
class ProposalMatch:
    """How what is proposed stands in the catalogue, whether or not the joint itself may be made."""

    check: Check
    match: Match
    words: Mapping[str, Rule]  # the rules that have the words for each verdict of fill

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
        return [refusal for refusal in self._open.refusals(self.words) if id(refusal.connector) in wanted]

    @cached_property
    def texts(self) -> FindingTexts:
        """What writes the findings."""
        return FindingTexts(self.derived, proofs="proofs" in self.check.asked.include)

    def point(self, standing: Standing, finding: Finding, *more: Proof, **parts: Any) -> Point:
        """Give a point that rests on a finding, and on `more`."""
        rests_on = (*self.texts.proofs(finding), *more)
        return Point(standing, finding.rule.id, finding.says, rests_on, self.texts.at(finding), **parts)

    def points(self) -> Iterator[Point]:
        """Give every point on the joint itself, the method and the listing."""
        for referral in self.derived.referrals:
            yield self.point("unproven", referral)
        for bar in self.derived.joint_bars:
            yield self.point("violation", bar)
        for bar in self.derived.method_bars:
            if self.check.method in bar.rule.effect.methods:
                yield self.point("violation", bar, self._proposed, about=self._about)
        if self.check.connector is None:
            yield from self._reasons_of_all()
            return
        yield from self._reasons()
        yield from self._met(self.check.connector)

    @property
    def _proposed(self) -> Proof:
        name, value = ("connector", self.check.connector.id) if self.check.connector else ("method", self.check.method)
        return Proof(f"proposal.{name}", value, (self._about,))

    @property
    def _about(self) -> str:
        return CONNECTOR if self.check.connector else "/proposal/method"

    def _reasons(self) -> Iterator[Point]:
        """Give the reasons for which the named connector is refused."""
        barred = {bar.rule.id for bar in self.derived.method_bars}
        for refusal in self.refusals:
            for reason in refusal.because:
                if reason.rule not in barred:
                    rests_on, at = self._grounds(reason.rule, reason.says)
                    standing: Standing = "unproven" if reason.not_stated else "violation"
                    yield Point(standing, reason.rule, reason.whole, rests_on, at, CONNECTOR)

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
        # Where one of them would do if its listing said so, no reason speaks against them all.
        open_ = any(all(reason.not_stated for reason in refusal.because) for refusal in self.refusals)
        for (rule, says), ids in found.items():
            rests_on, at = self._grounds(rule, says)
            standing: Standing = "unproven" if open_ else "violation"
            where = "/proposal/method"
            yield Point(standing, rule, says, rests_on, at, where, connectors=tuple(sorted(set(ids))))

    def _grounds(self, rule: str, says: str) -> tuple[tuple[Proof, ...], tuple[str, ...]]:
        """Give what a demand with these words rests on, and where; a verdict of fill rests on the conductors."""
        demands = [one for one in self.derived.demands if (one.rule.id, one.says) == (rule, says)]
        proofs = [proof for demand in demands for proof in self.texts.proofs(demand)]
        at = [pointer for demand in demands for pointer in self.texts.at(demand)]
        return (*proofs, self._proposed), tuple(at) if demands else ("/joint/conductors",)

    def _met(self, connector: Connector) -> Iterator[Point]:
        """Give the demands that the named connector's listing meets."""
        refused = {(reason.rule, reason.says) for refusal in self.refusals for reason in refusal.because}
        attributes = self.option.attributes if self.option else connector.attributes
        for demand in self.derived.demands:
            if (demand.rule.id, demand.says) not in refused and not self._unknown(demand):
                how = "; ".join(
                    f"{test.attribute}: {listed_value(attributes, test.attribute)}" for test in demand.tests
                )
                yield self.point("confirmed", demand, self._proposed, about=CONNECTOR, how=how)

    def _unknown(self, demand: Finding) -> bool:
        """Say whether a demand asks for what only a connector that takes the joint has."""
        return self.option is None and any(test.attribute in OF_JOINT for test in demand.tests)
