"""The findings of a check for people: a line each, `file:line:column: level: what is wrong [rule]`, then the counts."""

from __future__ import annotations

from collections.abc import Iterator

import click

from splicewright.audit.finding import LEVELS, AuditFinding
from splicewright.audit.run import Audited
from splicewright.refusals import clean
from splicewright.units import counted

_COLOURS = {"error": "red", "warning": "yellow", "note": "cyan"}


def findings_text(audited: Audited, *, colour: bool = False) -> str:
    """Write the findings that count, and how many there are of each kind."""
    lines = [_line(finding, colour=colour) for finding in audited.findings if finding.counts]
    return "".join(f"{line}\n" for line in [*lines, *_summary(audited)])


def _line(finding: AuditFinding, *, colour: bool) -> str:
    level = click.style(finding.level, fg=_COLOURS[finding.level], bold=True) if colour else finding.level
    joint = f" (joint {finding.joint})" if finding.joint else ""
    hint = f" [{finding.hint}]" if finding.hint else ""
    return f"{place(finding)}: {level}: {clean(finding.says)}{clean(hint)} [{finding.rule}]{clean(joint)}"


def place(finding: AuditFinding) -> str:
    """Give a finding's place as an editor jumps to it; a cell by its name."""
    spot = finding.spot
    if spot.sheet is not None:
        return clean(f"{finding.file}:{spot.sheet}!{spot.cell}")
    column = "" if spot.column is None else f":{spot.column}"
    return clean(f"{finding.file}:{spot.line}{column}")


def _summary(audited: Audited) -> Iterator[str]:
    counts = audited.counts
    told = [counted(counts[level], level) for level in LEVELS]
    yield f"{counted(len(audited.checked), 'file')}, {counted(len(audited.cases), 'entry')}: {', '.join(told)}"
    if counts["known"]:
        yield f"{counted(counts['known'], 'finding')} in the baseline"
    if counts["waived"]:
        yield f"{counted(counts['waived'], 'finding')} waived"
    for at in dict.fromkeys(audited.catalogues.values()):
        count = counted(sum(one == at for one in audited.catalogues.values()), "file")
        yield clean(f"{count} with a catalogue's tables, not checked here: splicewright catalogue check {at}")
    if audited.passed_over:
        yield f"{counted(len(audited.passed_over), 'file')} passed over, holding nothing to check; --strict tells them"
