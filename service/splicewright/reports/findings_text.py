"""The findings of a check for people: a line each, `file:line:column: level: what is wrong [rule]`, then the counts."""

from __future__ import annotations

from collections.abc import Iterator

import click

from splicewright.audit.finding import LEVELS, AuditFinding
from splicewright.audit.run import Audited
from splicewright.plurals import counted
from splicewright.reading import clean

_COLOURS = {"error": "red", "warning": "yellow", "note": "cyan"}


def findings_text(audited: Audited, *, colour: bool = False) -> str:
    """Write the findings that count, and how many there are of each kind."""
    lines = [_line(one, colour=colour) for one in audited.findings if one.counts]
    return "".join(f"{line}\n" for line in [*lines, *_summary(audited)])


def _line(one: AuditFinding, *, colour: bool) -> str:
    level = click.style(one.level, fg=_COLOURS[one.level], bold=True) if colour else one.level
    joint = f" (joint {one.joint})" if one.joint else ""
    hint = f" [{one.hint}]" if one.hint else ""
    return f"{place(one)}: {level}: {clean(one.says)}{clean(hint)} [{one.rule}]{clean(joint)}"


def place(one: AuditFinding) -> str:
    """Give a finding's place as an editor jumps to it; a cell by its name."""
    spot = one.spot
    if spot.sheet is not None:
        return clean(f"{one.file}:{spot.sheet}!{spot.cell}")
    column = "" if spot.column is None else f":{spot.column}"
    return clean(f"{one.file}:{spot.line}{column}")


def _summary(audited: Audited) -> Iterator[str]:
    counts = audited.counts
    told = [counted(counts[level], level) for level in LEVELS]
    yield f"{counted(len(audited.checked), 'file')}, {counted(len(audited.cases), 'entry')}: {', '.join(told)}"
    if counts["known"]:
        yield f"{counted(counts['known'], 'finding')} in the baseline"
    if counts["waived"]:
        yield f"{counted(counts['waived'], 'finding')} waived"
    if audited.passed_over:
        yield f"{counted(len(audited.passed_over), 'file')} passed over, holding nothing to check; --strict tells them"
