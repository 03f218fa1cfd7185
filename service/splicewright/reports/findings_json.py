"""The findings of a check for programs: one JSON object, or one line for each finding."""

from __future__ import annotations

from typing import Any

import orjson

from splicewright.audit.finding import LEVELS, AuditFinding
from splicewright.audit.run import Audited


def findings_json(audited: Audited) -> str:
    """Write `{counts, files, passed_over, catalogues, findings}`."""
    whole = {
        "counts": {kind: audited.counts[kind] for kind in (*LEVELS, "known", "waived")},
        "files": list(audited.checked),
        "passed_over": list(audited.passed_over),
        "catalogues": dict(audited.catalogues),
        "findings": [finding_plain(finding) for finding in audited.findings],
    }
    return orjson.dumps(whole, option=orjson.OPT_INDENT_2).decode() + "\n"


def findings_ndjson(audited: Audited) -> str:
    """Write each finding on a line of its own."""
    return "".join(orjson.dumps(finding_plain(finding)).decode() + "\n" for finding in audited.findings)


def finding_plain(finding: AuditFinding) -> dict[str, Any]:
    """Give a finding as plain data: what has no value is left out."""
    spot = finding.spot
    found = {
        "file": finding.file,
        "line": spot.line,
        "column": spot.column,
        "sheet": spot.sheet,
        "cell": spot.cell,
        "heading": spot.heading,
        "level": finding.level,
        "state": finding.state,
        "rule": finding.rule,
        "says": finding.says,
        "hint": finding.hint,
        "pointer": finding.pointer,
        "joint": finding.joint,
        "reason": finding.reason,
        "fingerprint": finding.fingerprint,
    }
    return {key: value for key, value in found.items() if value is not None}
