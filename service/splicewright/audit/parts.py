"""An entry in its parts, each judged, and waived, on its own: a question, a proposal, a joint of a job, a box."""

from __future__ import annotations

from collections.abc import Iterator

from splicewright.audit.boxes import box_parts
from splicewright.audit.entries import AuditEntry
from splicewright.audit.finding import digest
from splicewright.audit.jobs import job_parts
from splicewright.audit.verdicts import JudgedPart, Verdicts, id_of, invalid
from splicewright.audit.waivers import take_waivers
from splicewright.refusals import Refused
from splicewright.sheets.columns import OF_THE_JOB

_MISSING = "missing"  # of a table with an unknown heading: that is told once, there


def parts_of(entry: AuditEntry, verdicts: Verdicts) -> Iterator[JudgedPart]:
    """Judge each part of an entry. One that is not valid is judged so, and spoils no other."""
    if entry.kind == "box":
        yield from box_parts(entry.value, verdicts)
    elif entry.kind == "job":
        yield from job_parts(entry.value, verdicts)
    else:
        yield _joint(entry, verdicts)


def _joint(entry: AuditEntry, verdicts: Verdicts) -> JudgedPart:
    """Judge a question or proposal. One that is perhaps misread is not decided, only read."""
    value, waive = take_waivers(entry.value)
    if entry.sheet_joint is not None:
        for key in OF_THE_JOB:
            value.pop(key, None)  # how often and where it is made changes nothing in how
    faults = tuple(judged for judged, _ in entry.faults)
    about = (id_of(value), id_of(value) or digest(value))
    try:
        verdict = verdicts.proposal(value) if entry.kind == "check" else verdicts.question(value)
    except Refused as error:
        told = {fault.pointer for fault in faults}
        problems = [one for one in error.problems if not (entry.only_read and one.to_dict()["code"] == _MISSING)]
        judged = (*faults, *(one for one in invalid(Refused(problems)) if not _within(one.pointer, told)))
        return JudgedPart("", *about, judged, waive, value.get("code"), value)
    if faults or entry.only_read:
        return JudgedPart("", *about, faults, waive, value.get("code"), value)
    return JudgedPart("", *about, verdict.judged, waive, value.get("code"), value, verdict)


def _within(pointer: str, told: set[str]) -> bool:
    return any(pointer == one or pointer.startswith(f"{one}/") for one in told if one)
