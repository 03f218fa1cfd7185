"""What an answer says, point by point, so that two answers can be compared item by item."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any, NamedTuple

from splicewright.choice.matching import Match
from splicewright.choice.telling import MakeUp, test_plain
from splicewright.inspection.model import Judged
from splicewright.rulebook.model import FactValue, ListingTest


class Point(NamedTuple):
    """One thing that an answer says: `outcome`, `best` and `verdict` each have one value, all else is said or not."""

    what: str  # a word of SAID_POINT
    of: str = ""  # a rule, a connector or a phase
    item: str = ""  # the rest of what tells it from others


@dataclass(frozen=True, slots=True)
class Told:
    """What is told under a point: its `value` where both answers have the point, `says` where only one has it.

    `whole` tells more, for where the other answer says the same in words; `rule` is the rule that says it.
    """

    value: str
    says: str = field(default="", compare=False)
    whole: str = field(default="", compare=False)
    rule: str = field(default="", compare=False)


def points(match: Match, same_as: Mapping[str, str]) -> dict[Point, Told]:
    """Give all points of an answer with what is told under each; `same_as` gives for moved rules their ids before."""
    found: dict[Point, Told] = {Point("outcome"): Told(match.outcome, match.outcome)}
    if match.options:
        best = match.options[0].connector
        found[Point("best")] = Told(best.id, best.id)
        for option in match.options:
            basis = option.fill.basis or "listed"
            found[Point("option", option.connector.id)] = Told(basis, basis)
        for step in MakeUp(match.joint, match.derived.steps).steps(best):
            figure = _figure(step["value"]) if step.get("value") else None
            says = f"{step['do'].rstrip('.')}: {figure}" if figure else step["do"]
            told = Told(figure or step["do"], says, f"{step['phase']}: {says}", step["rule"])
            found[Point("step", step["phase"], step["do"])] = told
    for what, rule, says, whole in _said(match):
        found[Point(what, same_as.get(rule, rule), whole)] = Told(says, says, whole, rule)
    return found


def check_points(judged: Judged, same_as: Mapping[str, str]) -> dict[Point, Told]:
    """Give all points of the check of a proposal, but not that its listing meets a demand: the demand is told."""
    found = {Point("verdict"): Told(judged.verdict, judged.verdict)}
    for point in judged.points:
        if point.how is not None:
            continue
        whole = f"{point.says} ({point.about})" if point.about else point.says
        key = Point(point.standing, same_as.get(point.rule, point.rule), whole)
        found[key] = Told(point.says, point.says, whole, point.rule)
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
        asked = "; ".join(map(_asked, demand.tests))
        yield "demand", demand.rule.id, demand.says, f"{demand.says} ({asked})"


def _asked(test: ListingTest) -> str:
    ((operator, values),) = test_plain(test).items()
    told = [f"as {value.fact}" if isinstance(value, FactValue) else _figure(value) for value in values]
    return f"{test.attribute} {operator} {', '.join(told)}"


def _figure(value: Any) -> str:
    return f"{value['value']} {value['unit']}" if isinstance(value, Mapping) and "unit" in value else str(value)
