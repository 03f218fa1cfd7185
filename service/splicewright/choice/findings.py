"""The findings of one question, sorted by what they do."""

from __future__ import annotations

import itertools
from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass

from splicewright.engine import Finding
from splicewright.rulebook.effects import OF_PROPOSALS


@dataclass(frozen=True, slots=True)
class Derived:
    """What the rules found, each list in the order of rule ids."""

    conclusions: tuple[Finding, ...]
    demands: tuple[Finding, ...]
    joint_bars: tuple[Finding, ...]
    method_bars: tuple[Finding, ...]
    referrals: tuple[Finding, ...]
    preferences: tuple[Finding, ...]
    steps: tuple[Finding, ...]
    cautions: tuple[Finding, ...]
    defects: tuple[Finding, ...] = ()  # these three are for proposed splices only
    asks: tuple[Finding, ...] = ()
    tolerances: tuple[Finding, ...] = ()

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
        if self.referrals:
            return "refer"
        return "barred" if self.joint_bars else None


def sort_findings(findings: Iterable[Finding]) -> Derived:
    """Sort findings by the effect of their rules."""
    kinds: dict[str, list[Finding]] = defaultdict(list)
    for finding in findings:
        effect = finding.rule.effect
        kind: str = effect.kind
        if kind == "bar":
            kind = "method-bar" if effect.methods else "joint-bar"
        kinds[kind].append(finding)
    names = ("conclude", "demand", "joint-bar", "method-bar", "refer", "prefer", "step", "caution", *OF_PROPOSALS)
    return Derived(*(tuple(kinds.get(name, ())) for name in names))


_counted = itertools.count(1)


def numbers(findings: Iterable[Finding]) -> tuple[int, ...]:
    """Give a number for each finding that no other one has or ever had."""
    return tuple([one.kept.get("number") or one.kept.setdefault("number", next(_counted)) for one in findings])
