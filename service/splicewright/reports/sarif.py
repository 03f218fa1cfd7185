"""The findings of a check as SARIF 2.1.0, for code hosts and editors. The same findings give the same bytes."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any
from urllib.parse import quote

import orjson

from splicewright.audit.finding import OWN_RULES, AuditFinding
from splicewright.audit.run import Audited
from splicewright.reports.words import source_text
from splicewright.version import VERSION

SCHEMA = "https://json.schemastore.org/sarif-2.1.0.json"
#: The key of our fingerprint; its number is raised where the same finding would get another one.
FINGERPRINT = "splicewright/v1"


def findings_sarif(audited: Audited) -> str:
    """Write all findings. Those waived or in the baseline are suppressed results."""
    rules = sorted({finding.rule for finding in audited.findings})
    index = {rule: number for number, rule in enumerate(rules)}
    driver = {
        "name": "splicewright",
        "version": VERSION,
        "rules": [_rule(rule, audited.sources) for rule in rules],
    }
    run = {
        "tool": {"driver": driver},
        "columnKind": "unicodeCodePoints",
        "results": [_result(finding, index[finding.rule]) for finding in audited.findings],
    }
    whole = {"$schema": SCHEMA, "version": "2.1.0", "runs": [run]}
    return orjson.dumps(whole, option=orjson.OPT_INDENT_2).decode() + "\n"


def _rule(rule: str, sources: Mapping[str, Any]) -> dict[str, Any]:
    cited = source_text(sources[rule]) if rule in sources else None
    text = OWN_RULES.get(rule) or (
        f"{rule.partition('/')[2].replace('-', ' ').capitalize()}. Source: {cited}." if cited else rule
    )
    return {"id": rule, "shortDescription": {"text": text}}


def _result(finding: AuditFinding, index: int) -> dict[str, Any]:
    result = {
        "ruleId": finding.rule,
        "ruleIndex": index,
        "level": finding.level,
        "message": {"text": _message(finding)},
        "locations": [_location(finding)],
        "partialFingerprints": {FINGERPRINT: finding.fingerprint},
        "properties": {"pointer": finding.pointer} | ({"joint": finding.joint} if finding.joint else {}),
    }
    if finding.state == "waived":
        result["suppressions"] = [{"kind": "inSource", "justification": finding.reason}]
    if finding.state == "known":
        result["suppressions"] = [{"kind": "external", "justification": "in the baseline"}]
    return result


def _message(finding: AuditFinding) -> str:
    joint = f"Joint {finding.joint}: " if finding.joint else ""
    cell = f"{finding.spot.cell}: " if finding.spot.cell else ""
    hint = f" It {finding.hint}." if finding.hint else ""
    return f"{cell}{joint}{finding.says}{hint}"


def _location(finding: AuditFinding) -> dict[str, Any]:
    spot = finding.spot
    region = {"startLine": spot.line} | ({"startColumn": spot.column} if spot.column else {})
    physical = {"artifactLocation": {"uri": quote(finding.file), "uriBaseId": "%SRCROOT%"}, "region": region}
    logical = []
    if spot.sheet is not None:
        logical.append({"name": spot.cell, "fullyQualifiedName": f"{spot.sheet}!{spot.cell}", "kind": "element"})
    if finding.joint:
        logical.append({"name": finding.joint, "kind": "object"})
    return {"physicalLocation": physical} | ({"logicalLocations": logical} if logical else {})
