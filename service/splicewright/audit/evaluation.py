"""An entry to its cases: what is found about each of its parts, with place, fingerprint and waivers."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from typing import Any

from splicewright.audit.entries import AuditEntry
from splicewright.audit.finding import AuditFinding, Judgement, State, fingerprint
from splicewright.audit.jobs import planned_options
from splicewright.audit.parts import parts_of
from splicewright.audit.verdicts import JudgedPart, Verdict, Verdicts, invalid, moved
from splicewright.audit.waivers import ProjectWaivers, Waived, apply_waivers, read_waivers
from splicewright.json_pointer import value_at
from splicewright.refusals import Refused
from splicewright.sheets.joints import SheetJoint
from splicewright.sheets.table import Spot


@dataclass(frozen=True)
class ReportCase:
    """One joint or box of a file, or an entry that is neither, as a report tells of it."""

    file: str
    name: str
    spot: Spot
    findings: tuple[AuditFinding, ...]
    asked: Mapping[str, Any] | None = field(default=None, repr=False)  # as the entry has it, where that was kept
    verdict: Verdict | None = field(default=None, repr=False)
    sheet_joint: SheetJoint | None = field(default=None, repr=False)


def cases_of(
    file: str,
    entry: AuditEntry,
    verdicts: Verdicts,
    on: dt.date,
    *,
    of_project: ProjectWaivers | None = None,
    keep_asked: bool = False,
) -> Iterator[ReportCase]:
    """Give each case of an entry, with its waivers, and those of the project, as they hold on a day."""
    if entry.kind is None:
        findings = tuple(
            _finding(file, judged, spot, None, f"entry {entry.number}", None) for judged, spot in entry.faults
        )
        yield ReportCase(file, f"entry {entry.number}", entry.spot(""), findings)
        return
    planned = planned_options(entry.value, verdicts.chooser) if keep_asked and entry.kind == "job" else {}
    misread = {(judged.pointer, judged.says): spot for judged, spot in entry.faults}
    for part in parts_of(entry, verdicts):
        spot_of = _spots(entry, misread)
        findings = tuple(
            _finding(
                file,
                one.judged,
                spot_of(one.judged),
                part.joint,
                part.known_by,
                value_at(entry.value, one.judged.pointer),
                one,
            )
            for one in _waived(part, verdicts, on, of_project)
        )
        name = part.joint or f"entry {entry.number}{part.pointer}"
        verdict = part.verdict and _by_plan(part.verdict, planned.get(part.pointer, ()))
        kept = (part.asked, verdict, entry.sheet_joint) if keep_asked else (None, None, None)
        yield ReportCase(file, name, entry.spot(part.pointer), findings, *kept)


def _by_plan(verdict: Verdict, planned: tuple[tuple[str, str, str], ...]) -> Verdict:
    """Let what a stock plan makes a joint with stand first among its options."""
    others = tuple(one for one in verdict.options if one not in planned)
    return replace(verdict, options=(*planned, *others)) if planned else verdict


def _spots(entry: AuditEntry, misread: Mapping[tuple[str, str], Spot]) -> Callable[[Judgement], Spot]:
    """Tell where a judgement stands: a misread cell where it was misread, all else by its pointer."""
    return lambda judged: misread.get((judged.pointer, judged.says)) or entry.spot(judged.pointer)


def _waived(part: JudgedPart, verdicts: Verdicts, on: dt.date, of_project: ProjectWaivers | None) -> list[Waived]:
    found = _waived_beside(part, verdicts, on)
    return found if of_project is None else of_project.apply(found)


def of_project_file(file: str, waivers: ProjectWaivers) -> Iterator[ReportCase]:
    """Give the case of a project file whose waivers are expired or not allowed."""
    about = waivers.about()
    if about:
        findings = tuple(_finding(file, judged, Spot(line), None, judged.pointer, None) for judged, line in about)
        yield ReportCase(file, "waive", findings[0].spot, findings)


def _waived_beside(part: JudgedPart, verdicts: Verdicts, on: dt.date) -> list[Waived]:
    try:
        waivers = read_waivers(part.waive, verdicts.rules(part.code))
    except Refused as error:
        return [Waived(one) for one in (*part.judged, *moved(part.pointer, invalid(error)))]
    return apply_waivers(waivers, part.judged, on, part.pointer)


def _finding(
    file: str, judged: Judgement, spot: Spot, joint: str | None, known_by: str, given: Any, waived: Waived | None = None
) -> AuditFinding:
    says = judged.says
    if judged.rule == "input/invalid" and (where := spot.heading or judged.pointer):
        says = f"{where}: {says}"
    reason = waived.reason if waived else None
    mark = fingerprint(file, known_by, judged, given)
    state: State = "waived" if reason else "new"
    return AuditFinding(
        judged.level, judged.rule, says, file, spot, judged.pointer, joint, mark, judged.hint, state, reason
    )
