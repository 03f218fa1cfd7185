"""What came of a trial, for people."""

from __future__ import annotations

from typing import Any

from splicewright.reports.impact import impact_told
from splicewright.reports.page import page
from splicewright.reports.rules import print_notes
from splicewright.units import counted


def print_trial(told: dict[str, Any]) -> None:
    """Print it: that all is well, what to look at again, and what it changes."""
    stack = "+".join((told["rulesets"]["code"], *told["rulesets"]["amendments"]))
    with page() as out:
        out.headline(
            f"{stack}@{told['catalogue']['name']}: {counted(told['examples']['run'], 'example')} run, no fault."
        )
        print_notes(out, told["notes"])
        if told["impact"] is not None:
            impact_told(out, told["impact"])
