"""Findings for programs, whole or a line each."""

from __future__ import annotations

import json

import pytest

from splicewright.audit.run import Audited
from splicewright.reports.findings_json import findings_json, findings_ndjson
from tests.audit.folder import RULE
from tests.reports.found import everything


@pytest.fixture(scope="module")
def found(tmp_path_factory: pytest.TempPathFactory) -> Audited:
    return everything(tmp_path_factory.mktemp("work"))


def test_finding_has_its_place_level_state_and_reason(found: Audited) -> None:
    (one,) = [finding for finding in json.loads(findings_json(found))["findings"] if finding["state"] == "waived"]
    mark = one.pop("fingerprint")
    assert len(mark) == 32
    assert one.pop("says").startswith("A joint inside a raceway")
    assert one == {
        "file": "jobs/new.yaml", "line": 10, "column": 9, "level": "error", "state": "waived", "rule": RULE,
        "hint": "may be made with place.enclosure: box", "pointer": "/place/enclosure", "joint": "waived",
        "reason": "old run",
    }  # fmt: skip


def test_cell_has_its_sheet_and_heading(found: Audited) -> None:
    (one,) = [finding for finding in json.loads(findings_json(found))["findings"] if "sheet" in finding]
    assert (one["sheet"], one["cell"], one["line"], one["column"], one["heading"]) == ("Joints", "E4", 4, 5, "exposure")


def test_counts_and_files_are_told(found: Audited) -> None:
    whole = json.loads(findings_json(found))
    assert whole["counts"] == {"error": 3, "warning": 1, "note": 3, "known": 1, "waived": 1}
    assert whole["files"] == list(found.checked)
    assert len(whole["findings"]) == sum(whole["counts"].values())


def test_lines_are_the_findings_of_the_whole(found: Audited) -> None:
    lines = [json.loads(line) for line in findings_ndjson(found).splitlines()]
    assert lines == json.loads(findings_json(found))["findings"]
