"""What an electrician would let stand, read from `kept.yaml`: short, each entry with its reason.

`does_not_arise`: patterns of facts, as in rules, under which a concern does not arise. `sound_here`: under which the
absurd value is none (`of`: of which extremes). `no_rule`: articles that no rule here settles. `referred`: under which a
sound value is handed over all the same. `unless` takes away from `when`.
"""

from __future__ import annotations

import functools
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from splicewright.question.facts import Facts
from splicewright.refusals import Problem
from splicewright.rulebook.comparisons import read_when
from splicewright.rulebook.model import Pattern
from splicewright.yaml_text import read_yaml
from tests.extremes.extremes import Extreme, extremes
from tests.oracle.plain import matches

FILE = Path(__file__).parent / "kept.yaml"
SECTIONS = ("does_not_arise", "sound_here", "referred")


@dataclass(frozen=True)
class Where:
    """Patterns of a question's facts: all of `when` hold, and not all of `unless`."""

    concerns: tuple[str, ...]  # empty: of any
    of: tuple[str, ...]  # the extremes that it speaks of; empty: any
    when: tuple[Pattern, ...]
    unless: tuple[Pattern, ...]
    because: str

    def holds(self, extreme: Extreme, facts: Facts) -> bool:
        """Say whether it speaks of this extreme in a question with these facts."""
        if (self.concerns and extreme.concern not in self.concerns) or (self.of and extreme.name not in self.of):
            return False
        return all(_holds(one, facts) for one in self.when) and not (
            self.unless and all(_holds(one, facts) for one in self.unless)
        )


def _holds(pattern: Pattern, facts: Facts) -> bool:
    if pattern.scope == "conductor":
        return any(matches(pattern, conductor) for conductor in facts.conductors)
    return matches(pattern, facts.single)


@dataclass(frozen=True)
class Kept:
    """All that is kept."""

    where: Mapping[str, Sequence[Where]]
    articles: Mapping[str, frozenset[str]]  # concern -> articles that no rule settles

    def holds(self, section: str, extreme: Extreme, facts: Facts) -> bool:
        """Say whether some entry of a section speaks of this extreme here."""
        return any(one.holds(extreme, facts) for one in self.where[section])


@functools.cache
def kept() -> Kept:
    """Read the file, strictly."""
    read = read_yaml(FILE.read_bytes()).value
    assert set(read) == {*SECTIONS, "no_rule"}, sorted(read)
    articles: dict[str, set[str]] = {}
    for one in read["no_rule"]:
        assert set(one) == {"concern", "articles", "because"}
        articles.setdefault(one["concern"], set()).update(one["articles"])
    return Kept(
        {name: tuple(_where(one) for one in read[name]) for name in SECTIONS},
        {concern: frozenset(found) for concern, found in articles.items()},
    )


def _where(one: Mapping[str, Any]) -> Where:
    assert {"when", "because"} <= set(one) <= {"concern", "of", "when", "unless", "because"}, one
    concerns, of = one.get("concern", []), tuple(one.get("of", ()))
    assert set(of) <= {each.name for each in extremes()}, of
    problems: list[Problem] = []
    patterns = [read_when(one[part], f"/{part}", problems) if part in one else () for part in ("when", "unless")]
    assert not problems, problems
    return Where(tuple([concerns] if isinstance(concerns, str) else concerns), of, *patterns, one["because"])
