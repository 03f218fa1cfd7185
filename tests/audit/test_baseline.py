"""A baseline lets an old repository start green; only what is new counts, and what is gone is told."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from splicewright.audit.baseline import Baseline, baseline_text, read_baseline
from splicewright.audit.run import Audited
from splicewright.refusals import NotText, Refused
from tests.audit.folder import BARRED, FINE, RULE, audited, placed, told, write


def baseline_of(folder: Path, found: Audited) -> Baseline:
    path = folder / ".baseline.json"
    path.write_text(baseline_text(found.findings))
    return read_baseline(path, ".baseline.json")


@pytest.fixture
def baseline(tmp_path: Path) -> Baseline:
    write(tmp_path, {"a.yaml": "id: a\n" + BARRED, "b.yaml": "id: b\n" + FINE})
    return baseline_of(tmp_path, audited(tmp_path))


def test_known_findings_do_not_count_and_stay(tmp_path: Path, baseline: Baseline) -> None:
    found = audited(tmp_path, baseline=baseline)
    assert told(found) == []
    assert [(finding.rule, finding.state) for finding in found.findings] == [(RULE, "known")]
    assert not found.falls_short("note")


def test_findings_are_known_again_when_lines_move_and_conductors_turn(tmp_path: Path, baseline: Baseline) -> None:
    *others, place = BARRED.splitlines(keepends=True)
    moved = "".join(["# moved\n\n\n", place, *others, "id: a\n"])
    write(tmp_path, {"a.yaml": moved})
    assert told(audited(tmp_path, baseline=baseline)) == []


def test_only_the_new_finding_counts(tmp_path: Path, baseline: Baseline) -> None:
    write(tmp_path, {"b.yaml": "id: b\n" + BARRED})
    assert told(audited(tmp_path, baseline=baseline)) == [("b.yaml", 4, "error", RULE)]


def test_second_entry_with_the_same_finding_counts(tmp_path: Path, baseline: Baseline) -> None:
    write(tmp_path, {"a.yaml": f"id: a\n{BARRED}---\nid: a\n{BARRED}"})
    assert told(audited(tmp_path, baseline=baseline)) == [("a.yaml", 9, "error", RULE)]


def test_finding_that_is_gone_is_told_with_its_line_in_the_baseline(tmp_path: Path, baseline: Baseline) -> None:
    write(tmp_path, {"a.yaml": "id: a\n" + FINE})
    assert told(audited(tmp_path, baseline=baseline)) == [(".baseline.json", 4, "warning", "baseline/stale")]


def test_finding_of_a_file_that_was_not_checked_is_not_told_as_gone(tmp_path: Path, baseline: Baseline) -> None:
    assert told(audited(tmp_path, "b.yaml", baseline=baseline)) == []


def test_finding_of_a_file_that_is_gone_is_told_as_gone(tmp_path: Path, baseline: Baseline) -> None:
    (tmp_path / "a.yaml").unlink()
    assert [rule for _, _, _, rule in told(audited(tmp_path, "b.yaml", baseline=baseline))] == ["baseline/stale"]


def test_invalid_entry_may_be_known_and_another_fault_at_its_place_is_new(tmp_path: Path) -> None:
    write(tmp_path, {"a.yaml": "id: a\n" + placed("exposure: dryy")})
    baseline = baseline_of(tmp_path, audited(tmp_path))
    assert told(audited(tmp_path, baseline=baseline)) == []
    write(tmp_path, {"a.yaml": "id: a\n" + placed("exposure: dampp")})
    assert ("a.yaml", 4, "error", "input/invalid") in told(audited(tmp_path, baseline=baseline))


def test_baseline_is_sorted_counted_and_the_same_each_time(tmp_path: Path) -> None:
    write(tmp_path, {"b.yaml": f"{BARRED}---\n{BARRED}", "a.yaml": "id: a\n" + BARRED})
    text = baseline_text(audited(tmp_path).findings)
    assert text == baseline_text(audited(tmp_path).findings)
    written = json.loads(text)["findings"]
    assert [(one["file"], one["rule"], one["joint"], one["count"]) for one in written] == [
        ("a.yaml", RULE, "a", 1),
        ("b.yaml", RULE, None, 2),
    ]


def test_baseline_of_nothing_is_read_back(tmp_path: Path) -> None:
    write(tmp_path, {"a.yaml": FINE})
    assert baseline_of(tmp_path, audited(tmp_path)).known == ()


@pytest.mark.parametrize("text", ["{", "[]", '{"version": 2, "findings": []}', '{"version": 1, "findings": [{}]}'])
def test_what_is_no_baseline_is_refused(tmp_path: Path, text: str) -> None:
    write(tmp_path, {"b.json": text})
    with pytest.raises((NotText, Refused)):
        read_baseline(tmp_path / "b.json", "b.json")
