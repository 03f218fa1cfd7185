"""SARIF reports hold against the published schema (data/SOURCES.md) and carry every finding."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import jsonschema
import pytest

from splicewright.audit.run import Audited
from splicewright.reports.sarif import findings_sarif
from tests.audit.folder import FINE, RULE, audited, write
from tests.reports.found import everything

SCHEMA = json.loads((Path(__file__).parent / "data" / "sarif-2.1.0-rtm.5.json").read_text())


def valid(text: str) -> dict[str, Any]:
    """Give the one run of a report that is valid."""
    report = json.loads(text)
    jsonschema.Draft4Validator(SCHEMA, format_checker=jsonschema.FormatChecker()).validate(report)
    (run,) = report["runs"]
    return dict(run)


@pytest.fixture(scope="module")
def found(tmp_path_factory: pytest.TempPathFactory) -> Audited:
    return everything(tmp_path_factory.mktemp("work"))


@pytest.fixture(scope="module")
def run(found: Audited) -> dict[str, Any]:
    return valid(findings_sarif(found))


def of_rule(run: dict[str, Any], rule: str, state: str | None = None) -> dict[str, Any]:
    (one,) = [
        result
        for result in run["results"]
        if result["ruleId"] == rule
        and [held["kind"] for held in result.get("suppressions", [])] == ([state] if state else [])
    ]
    return dict(one)


def test_schema_refuses_what_is_no_report() -> None:
    with pytest.raises(jsonschema.ValidationError):
        valid('{"version": "2.1.0", "runs": [{"results": []}]}')


def test_report_of_nothing_is_valid(tmp_path: Path) -> None:
    write(tmp_path, {"a.yaml": FINE})
    assert valid(findings_sarif(audited(tmp_path)))["results"] == []


def test_every_finding_is_a_result_with_its_level_and_rule(found: Audited, run: dict[str, Any]) -> None:
    assert [(result["ruleId"], result["level"]) for result in run["results"]] == [
        (finding.rule, finding.level) for finding in found.findings
    ]
    rules = run["tool"]["driver"]["rules"]
    assert all(rules[result["ruleIndex"]]["id"] == result["ruleId"] for result in run["results"])
    assert {result["level"] for result in run["results"]} == {"error", "warning", "note"}


def test_result_has_file_line_and_column(run: dict[str, Any]) -> None:
    (location,) = of_rule(run, RULE)["locations"]
    assert location["physicalLocation"] == {
        "artifactLocation": {"uri": "jobs/new.yaml", "uriBaseId": "%SRCROOT%"},
        "region": {"startLine": 5, "startColumn": 9},
    }
    assert location["logicalLocations"] == [{"name": "barred", "kind": "object"}]


def test_file_name_is_written_as_a_uri(run: dict[str, Any]) -> None:
    (location,) = of_rule(run, RULE, "external")["locations"]
    assert location["physicalLocation"]["artifactLocation"]["uri"] == "jobs/%3Ca%3E%20%26%20%C3%BC.yaml"


def test_cell_is_named(run: dict[str, Any]) -> None:
    (one,) = [result for result in run["results"] if "slip.xlsx" in json.dumps(result["locations"])]
    assert one["message"]["text"].startswith("E4: Joint k2: exposure: ")
    assert one["locations"][0]["logicalLocations"][0]["fullyQualifiedName"] == "Joints!E4"


def test_waived_and_known_findings_are_suppressed_with_their_reason(run: dict[str, Any]) -> None:
    assert of_rule(run, RULE, "inSource")["suppressions"] == [{"kind": "inSource", "justification": "old run"}]
    assert of_rule(run, RULE, "external")["suppressions"][0]["justification"] == "in the baseline"


def test_fingerprint_is_that_of_the_finding(found: Audited, run: dict[str, Any]) -> None:
    marks = [result["partialFingerprints"]["splicewright/v1"] for result in run["results"]]
    assert marks == [finding.fingerprint for finding in found.findings]


def test_rule_is_told_with_its_source(run: dict[str, Any]) -> None:
    (text,) = [rule["shortDescription"]["text"] for rule in run["tool"]["driver"]["rules"] if rule["id"] == RULE]
    assert text.startswith("Never inside a raceway. Source: NFPA 70")


def test_same_findings_are_the_same_bytes(found: Audited) -> None:
    assert findings_sarif(found) == findings_sarif(found)
