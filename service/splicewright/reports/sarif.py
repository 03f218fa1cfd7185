"""The findings of a check as SARIF 2.1.0, for code hosts and editors. The same findings give the same bytes."""

from __future__ import annotations

from collections.abc import Mapping
from importlib.metadata import version
from typing import Any
from urllib.parse import quote

import orjson

from splicewright.audit.finding import OWN_RULES, AuditFinding
from splicewright.audit.run import Audited
from splicewright.reports.words import source_text

SCHEMA = "https://json.schemastore.org/sarif-2.1.0.json"
#: The key of our fingerprint; its number is raised where the same finding would get another one.
FINGERPRINT = "splicewright/v1"


def findings_sarif(audited: Audited) -> str:
    """Write all findings. Those waived or in the baseline are suppressed results."""
    rules = sorted({one.rule for one in audited.findings})
    index = {rule: number for number, rule in enumerate(rules)}
    driver = {
        "name": "splicewright",
        "version": version("splicewright"),
        "rules": [_rule(rule, audited.sources) for rule in rules],
    }
    run = {
        "tool": {"driver": driver},
        "columnKind": "unicodeCodePoints",
        "results": [_result(one, index[one.rule]) for one in audited.findings],
    }
    whole = {"$schema": SCHEMA, "version": "2.1.0", "runs": [run]}
    return orjson.dumps(whole, option=orjson.OPT_INDENT_2).decode() + "\n"


def _rule(rule: str, sources: Mapping[str, Any]) -> dict[str, Any]:
    cited = source_text(sources[rule]) if rule in sources else None
    text = OWN_RULES.get(rule) or (
        f"{rule.partition('/')[2].replace('-', ' ').capitalize()}. Source: {cited}." if cited else rule
    )
    return {"id": rule, "shortDescription": {"text": text}}


def _result(one: AuditFinding, index: int) -> dict[str, Any]:
    result = {
        "ruleId": one.rule,
        "ruleIndex": index,
        "level": one.level,
        "message": {"text": _message(one)},
        "locations": [_location(one)],
        "partialFingerprints": {FINGERPRINT: one.fingerprint},
        "properties": {"pointer": one.pointer} | ({"joint": one.joint} if one.joint else {}),
    }
    if one.state == "waived":
        result["suppressions"] = [{"kind": "inSource", "justification": one.reason}]
    if one.state == "known":
        result["suppressions"] = [{"kind": "external", "justification": "in the baseline"}]
    return result


def _message(one: AuditFinding) -> str:
    joint = f"Joint {one.joint}: " if one.joint else ""
    cell = f"{one.spot.cell}: " if one.spot.cell else ""
    hint = f" It {one.hint}." if one.hint else ""
    return f"{cell}{joint}{one.says}{hint}"


def _location(one: AuditFinding) -> dict[str, Any]:
    spot = one.spot
    region = {"startLine": spot.line} | ({"startColumn": spot.column} if spot.column else {})
    physical = {"artifactLocation": {"uri": quote(one.file), "uriBaseId": "%SRCROOT%"}, "region": region}
    logical = []
    if spot.sheet is not None:
        logical.append({"name": spot.cell, "fullyQualifiedName": f"{spot.sheet}!{spot.cell}", "kind": "element"})
    if one.joint:
        logical.append({"name": one.joint, "kind": "object"})
    return {"physicalLocation": physical} | ({"logicalLocations": logical} if logical else {})
