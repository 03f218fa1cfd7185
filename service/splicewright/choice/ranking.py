"""Which sound option stands first: listed before bracketed, then preferences, comfort of fill, id."""

from __future__ import annotations

from splicewright.choice.matching import Option
from splicewright.rulebook.effects import STRENGTHS


def ranked(options: list[Option]) -> list[Option]:
    """Sort options, best first. Preferences are compared by their counts, strong ones first."""
    return sorted(options, key=_order)


def _order(option: Option) -> tuple[object, ...]:
    strengths = [finding.rule.effect.strength for finding in option.preferred]
    counts = tuple(-strengths.count(strength) for strength in STRENGTHS)
    return (option.fill.basis != "listed", *counts, -option.fill.comfort, option.connector.id)
