"""A check over files and folders, from paths to findings."""

from __future__ import annotations

import datetime as dt
from collections import Counter
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import Any

from splicewright.answering import Chooser
from splicewright.audit.baseline import Baseline, apply_baseline
from splicewright.audit.entries import NotOurs, NotRead, OfCatalogue, Recognize, read_entries
from splicewright.audit.evaluation import ReportCase, cases_of, of_project_file
from splicewright.audit.files import CheckedFile, name_of
from splicewright.audit.finding import LEVELS, AuditFinding, Judgement, Level, at_least, fingerprint
from splicewright.audit.verdicts import Verdicts
from splicewright.audit.waivers import ProjectWaivers
from splicewright.project.reading import columns_of
from splicewright.question.vocabulary import CODES
from splicewright.sheets.table import Spot


@dataclass(frozen=True)
class Audited:
    """What a check found. Findings stand in the order of reports."""

    checked: tuple[str, ...]  # files
    passed_over: tuple[str, ...]  # files in folders that are nothing of ours
    cases: tuple[ReportCase, ...]
    findings: tuple[AuditFinding, ...]
    sources: Mapping[str, Any] = field(default_factory=dict)  # rule -> its source
    catalogues: Mapping[str, str] = field(default_factory=dict)  # file with tables of one -> the workbook or folder

    @cached_property
    def counts(self) -> Counter[str]:
        """How many findings count at each level, how many are `known` and how many `waived`."""
        return Counter(finding.level if finding.counts else finding.state for finding in self.findings)

    def of_level(self, least: Level) -> Audited:
        """Leave out the findings that are less grave than `least`."""

        def kept(findings: Iterable[AuditFinding]) -> tuple[AuditFinding, ...]:
            return tuple(finding for finding in findings if at_least(finding.level, least))

        cases = tuple(replace(case, findings=kept(case.findings)) for case in self.cases)
        return replace(self, cases=cases, findings=kept(self.findings))

    def falls_short(self, least: str) -> bool:
        """Tell whether a finding that counts is as grave as a level; `never`: none is."""
        return any(at_least(level, least) and self.counts[level] for level in LEVELS)


def audit(
    sources: Iterable[CheckedFile],
    chooser: Chooser,
    *,
    on: dt.date,
    baseline: Baseline | None = None,
    strict: bool = False,
    keep_asked: bool = False,
    columns: Mapping[str, str] | None = None,
    recognize: Recognize | None = None,
    watch: Callable[[int], None] = lambda _: None,
) -> Audited:
    """Check files. `strict`: one found in a folder that is nothing of ours is an error, not passed over.

    `keep_asked` keeps questions and verdicts in the cases, for a table of answers. `columns` gives for headings of the
    user's own the columns that they are, over those of the project. `recognize` tells tables of a catalogue, which are
    not checked here. `watch` is told of each entry.
    Waivers of the project hold for every entry. Raises `Faults` where they are wrong.
    """
    verdicts = Verdicts(chooser)
    project, of_project = chooser.holding.project, None
    if project is not None and project.waive:
        of_project = ProjectWaivers(project, set().union(*map(verdicts.rules, CODES)), on)
    mapped = columns_of(project, columns)
    checked: list[str] = []
    passed_over: list[str] = []
    catalogues: dict[str, str] = {}
    cases: list[ReportCase] = []
    for source in sources:
        try:
            entries = read_entries(source, mapped, recognize)
            checked.append(source.name)
        except OfCatalogue as found:
            catalogues[source.name] = name_of(found.at)
            continue
        except NotOurs as error:
            passed_over.append(source.name)
            if strict or isinstance(error, NotRead):
                cases.append(_not_ours(source.name, str(error), "error" if strict else "warning"))
            continue
        for entry in entries:
            cases += cases_of(source.name, entry, verdicts, on, of_project=of_project, keep_asked=keep_asked)
            watch(1)
    if project is not None and of_project is not None:
        cases += of_project_file(name_of(project.file), of_project)
    stale: list[AuditFinding] = []
    if baseline:
        cases, stale = _compared(baseline, cases, set(checked))
    findings = sorted([*stale, *(finding for case in cases for finding in case.findings)], key=lambda one: one.order)
    return Audited(tuple(checked), tuple(passed_over), tuple(cases), tuple(findings), verdicts.sources, catalogues)


def _compared(
    baseline: Baseline, cases: list[ReportCase], checked: set[str]
) -> tuple[list[ReportCase], list[AuditFinding]]:
    """Mark what the baseline knows in each case, and give what it knows for nothing."""
    placed = sorted(
        ((one, number) for number, case in enumerate(cases) for one in case.findings), key=lambda pair: pair[0].order
    )
    marked = apply_baseline(baseline, [one for one, _ in placed], checked)
    by_case: dict[int, list[AuditFinding]] = {}
    for (_, number), finding in zip(placed, marked, strict=False):
        by_case.setdefault(number, []).append(finding)
    found = [
        replace(case, findings=tuple(by_case[number])) if number in by_case else case
        for number, case in enumerate(cases)
    ]
    return found, marked[len(placed) :]


def _not_ours(name: str, says: str, level: Level) -> ReportCase:
    says = says or "holds no question, check, box, job or table of joints"
    judged = Judgement(level, "input/unrecognized", says, waivable=False)
    mark = fingerprint(name, "", judged, None)
    return ReportCase(
        name, "entry 1", Spot(1), (AuditFinding(level, judged.rule, says, name, Spot(1), "", None, mark),)
    )
