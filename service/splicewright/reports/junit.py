"""The findings of a check as JUnit XML: a suite for each file, a test case for each joint or box."""

from __future__ import annotations

import itertools
import re
from collections.abc import Iterable

from junitparser import Error, Failure, JUnitXml, Skipped, TestCase, TestSuite

from splicewright.audit.evaluation import ReportCase
from splicewright.audit.finding import AuditFinding, at_least
from splicewright.audit.run import Audited
from splicewright.reports.findings_text import place

_NOT_XML = re.compile("[^\t\n\r\x20-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")
_NOT_VALID = "input/"


def findings_junit(audited: Audited, least: str) -> str:
    """Write a test case for each entry; it fails by findings that count and are as grave as `least`.

    What is not valid is an error. A case with nothing but waived or known findings is skipped; other findings are told
    in its output.
    """
    whole = JUnitXml("splicewright")
    for file, cases in itertools.groupby(sorted(audited.cases, key=lambda case: case.file), lambda case: case.file):
        suite = TestSuite(_xml(file))
        suite.add_testcases([_case(case, least) for case in cases])
        # Not by `add_testsuite`, which compares it with each that is there.
        whole.append(suite)  # type: ignore[no-untyped-call]
    text: bytes | str = whole.tostring()  # type: ignore[no-untyped-call]
    return text.decode() if isinstance(text, bytes) else text


def _case(case: ReportCase, least: str) -> TestCase:
    written = TestCase(_xml(case.name), classname=_xml(case.file))
    failing = [finding for finding in case.findings if finding.counts and at_least(finding.level, least)]
    others = [finding for finding in case.findings if finding not in failing]
    if failing:  # as one: what reads reports counts each failure, and a case fails once
        first = next((one for one in failing if one.rule.startswith(_NOT_VALID)), failing[0])
        result = (Error if first.rule.startswith(_NOT_VALID) else Failure)(_xml(_told(first)), first.rule)
        if len(failing) > 1:
            result.text = _xml(_lines(failing))
        written.result = [result]
    if not failing and others and not any(other.counts for other in others):
        written.result = [Skipped(_xml(_lines(others)))]
    elif others:
        written.system_out = _xml(_lines(others))
    return written


def _told(finding: AuditFinding) -> str:
    state = "" if finding.counts else f" ({finding.reason or 'in the baseline'})"
    return f"{place(finding)}: {finding.level}: {finding.says}{state}"


def _lines(findings: Iterable[AuditFinding]) -> str:
    return "\n".join(f"{_told(finding)} [{finding.rule}]" for finding in findings)


def _xml(text: str) -> str:
    """Leave out what no XML may hold."""
    return _NOT_XML.sub("\ufffd", text)
