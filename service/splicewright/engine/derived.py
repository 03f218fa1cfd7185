"""All that the rules found in one question."""

from __future__ import annotations

import itertools
from dataclasses import dataclass, fields

from splicewright.engine.telling import Finding


@dataclass(frozen=True, slots=True)
class Derived:
    """What the rules found, each kind of findings in the order of rule ids, then words."""

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
    arising: tuple[Finding, ...] = ()  # of each concern the cases that arise

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

    @property
    def findings(self) -> tuple[Finding, ...]:
        """All findings by rule id, then words."""
        return tuple(sorted(itertools.chain.from_iterable(self.kinds), key=lambda one: one.rule.id))

    @property
    def kinds(self) -> tuple[tuple[Finding, ...], ...]:
        """The findings of each kind."""
        return tuple(getattr(self, one.name) for one in fields(self))
