"""Waivers written beside an entry, or in the project file for every entry: `waive: [{rule, reason, until}]`.

A waiver beside an entry holds for the findings of one rule about its entry, to the end of its last day. What is waived
stays in every report, marked as waived with the reason. What is no valid entry can't be waived, nor a referral: that
one is decided by a licensed person, not by a line in a file.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from marshmallow import fields

from splicewright.audit.finding import OWN_RULES, Judgement
from splicewright.faults import Faults
from splicewright.json_pointer import join
from splicewright.project.reading import Project, WaiverSchema
from splicewright.refusals import Problem, Refused, not_allowed, shown
from splicewright.strict_fields import Items
from splicewright.strict_schema import Strict, load, made_once

_NEVER = ("input/", "waiver/", "baseline/")
_MOST = 100


class WaiversSchema(Strict):
    """The waivers of an entry."""

    waive = Items(fields.Nested(WaiverSchema), 0, _MOST)


@dataclass(frozen=True, slots=True)
class Waiver:
    """A finding accepted for a while; `pointer` is where in the entry that is written."""

    rule: str
    reason: str
    until: dt.date
    pointer: str


@dataclass(frozen=True, slots=True)
class Waived:
    """A judgement and, where it is waived, the reason."""

    judged: Judgement
    reason: str | None = None


def take_waivers(value: Mapping[str, Any]) -> tuple[dict[str, Any], Any]:
    """Part an entry into what its reader knows and what it says under `waive` (None: nothing)."""
    rest = dict(value)
    return rest, rest.pop("waive", None)


def read_waivers(given: Any, rules: Collection[str]) -> list[Waiver]:
    """Read what stands under `waive`; `rules` are the ids there are. Raises `Refused`."""
    if given is None:
        return []
    found = load(made_once(WaiversSchema), {"waive": given})["waive"]
    waivers, problems = [], []
    for at, one in enumerate(found):
        pointer = join("/waive", at)
        if not one["reason"].strip():
            problems.append(Problem(join(pointer, "reason"), "is blank; say why this is waived"))
        if one["rule"] not in rules and one["rule"] not in OWN_RULES:
            problems.append(Problem(join(pointer, "rule"), f"no rule: {not_allowed(one['rule'], rules)}"))
        try:
            until = dt.date.fromisoformat(one["until"])
        except ValueError:
            says = f"{shown(one['until'])} is no day; write it like 2026-12-31"
            problems.append(Problem(join(pointer, "until"), says))
        else:
            waivers.append(Waiver(one["rule"], one["reason"], until, pointer))
    if problems:
        raise Refused(problems)
    return waivers


def apply_waivers(waivers: Sequence[Waiver], judged: Sequence[Judgement], on: dt.date, base: str = "") -> list[Waived]:
    """Waive what may be waived on a day, and judge the waivers themselves: expired, not needed, not allowed.

    `base` is the pointer of the part that they stand in.
    """
    longest = _longest(waivers)
    holding = {rule: one for rule, one in longest.items() if one.until >= on and not rule.startswith(_NEVER)}
    found = [
        Waived(judgement, holding[judgement.rule].reason if judgement.waivable and judgement.rule in holding else None)
        for judgement in judged
    ]
    return found + [Waived(one) for waiver in waivers for one in _about(waiver, judged, on, base)]


def _longest(waivers: Iterable[Waiver]) -> dict[str, Waiver]:
    """Give the waiver of each rule that holds longest; of those that end together the last."""
    found: dict[str, Waiver] = {}
    for one in waivers:
        if one.rule not in found or one.until >= found[one.rule].until:
            found[one.rule] = one
    return found


def _about(waiver: Waiver, judged: Sequence[Judgement], on: dt.date, base: str) -> list[Judgement]:
    met = [judgement for judgement in judged if judgement.rule == waiver.rule]
    at = base + waiver.pointer
    if waiver.rule.startswith(_NEVER) or any(not one.waivable for one in met):
        why = "what is not valid, or is for a licensed person to decide, is not waived"
        return [
            Judgement("error", "waiver/not-allowed", f"{waiver.rule} may not be waived: {why}.", at, waivable=False)
        ]
    if not met:
        says = f"The waiver of {waiver.rule} waives nothing; take it out."
        return [Judgement("warning", "waiver/not-needed", says, at, waivable=False)]
    if waiver.until < on:
        says = f"The waiver of {waiver.rule} ended with {waiver.until}; mend the joint, or give a new day and reason."
        return [Judgement("warning", "waiver/expired", says, at, waivable=False)]
    return []


class ProjectWaivers:
    """The waivers of a project file, for every entry that is checked; one beside an entry is stronger.

    One that waives nothing is not told: a check sees only what it is given. Of several of one rule that counts which
    holds longest.
    """

    def __init__(self, project: Project, rules: Collection[str], on: dt.date) -> None:
        """Take them as they hold on a day; `rules` are the ids there are. Raises `Faults`, with their lines."""
        self._project, self._on = project, on
        try:
            waivers = read_waivers(list(project.waive) or None, rules)
        except Refused as error:
            raise Faults(project.fault(problem.pointer, problem.says) for problem in error.problems) from None
        self._by_rule = _longest(waivers)
        self._met: dict[str, list[Judgement]] = {}

    def apply(self, found: Sequence[Waived]) -> list[Waived]:
        """Waive what may be waived and is not waived beside its entry."""
        return [self._waived(one) for one in found] if self._by_rule else list(found)

    def _waived(self, one: Waived) -> Waived:
        waiver = None if one.reason else self._by_rule.get(one.judged.rule)
        if waiver is None:
            return one
        self._met.setdefault(waiver.rule, []).append(one.judged)
        holds = one.judged.waivable and waiver.until >= self._on and not waiver.rule.startswith(_NEVER)
        return Waived(one.judged, waiver.reason) if holds else one

    def about(self) -> list[tuple[Judgement, int]]:
        """Judge those that were met: expired, or not allowed; each with its line."""
        return [
            (judged, self._project.fault(waiver.pointer, "").line)
            for waiver in self._by_rule.values()
            if (met := self._met.get(waiver.rule)) or waiver.rule.startswith(_NEVER)
            for judged in _about(waiver, met or (), self._on, "")
        ]
