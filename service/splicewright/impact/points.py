"""What an answer says, point by point, so that two answers can be compared item by item."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any, NamedTuple

from splicewright.choice.matching import Match
from splicewright.choice.telling import MakeUp, test_plain


class Point(NamedTuple):
    """One thing that an answer says: `outcome` and `best` each have one value, all else is said or not."""

    what: str  # outcome, best, option, bar, referral, demand, caution, step
    of: str = ""  # a rule, a connector or a phase
    item: str = ""  # the rest of what tells it from others


def points(match: Match, same_as: Mapping[str, str]) -> dict[Point, str]:
    """Give all points of an answer with what is told under each; `same_as` gives for moved rules their ids before."""
    found: dict[Point, str] = {Point("outcome"): match.outcome}
    if match.options:
        found[Point("best")] = match.options[0].connector.id
        for option in match.options:
            found[Point("option", option.connector.id)] = option.fill.basis or "listed"
        for step in MakeUp(match.joint, match.derived.steps).steps(match.options[0].connector):
            figure = step.get("value")
            found[Point("step", step["phase"], step["do"])] = _figure(figure) if figure else step["do"]
    for what, rule, item, says in _said(match):
        found[Point(what, same_as.get(rule, rule), item)] = says
    return found


def _said(match: Match) -> Iterator[tuple[str, str, str, str]]:
    derived = match.derived
    for what, findings in (
        ("referral", derived.referrals),
        ("bar", (*derived.joint_bars, *derived.method_bars)),
        ("caution", derived.cautions),
    ):
        for finding in findings:
            yield what, finding.rule.id, finding.says, finding.says
    for demand in derived.demands:
        asked = "; ".join(f"{test.attribute} {test_plain(test)}" for test in demand.tests)
        yield "demand", demand.rule.id, f"{demand.says} {asked}", demand.says


def _figure(value: Any) -> str:
    return f"{value['value']} {value['unit']}" if isinstance(value, Mapping) and "unit" in value else str(value)
