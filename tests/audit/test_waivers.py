"""Waivers hold for one rule to the end of a day, are told when stale, and never hide what may not be hidden."""

from __future__ import annotations

import datetime as dt
from pathlib import Path
from typing import Any

import pytest

from splicewright.audit.finding import AuditFinding
from splicewright.audit.waivers import read_waivers, take_waivers
from splicewright.refusals import Refused
from tests.audit.folder import BARRED, FINE, ON, RULE, audited, told, write

RULES = {RULE, "scope/local-code-and-listing-govern"}


def waived(rule: str = RULE, until: str = "2026-12-31") -> str:
    return f"waive:\n  - {{rule: {rule}, reason: old run, until: {until}}}\n"


def found_in(folder: Path, text: str, on: dt.date = ON) -> tuple[list[tuple[str, int, str, str]], list[AuditFinding]]:
    write(folder, {"a.yaml": text})
    found = audited(folder, on=on)
    return told(found), [finding for finding in found.findings if finding.state == "waived"]


def test_waived_finding_does_not_count_and_stays_with_its_reason(tmp_path: Path) -> None:
    counting, kept = found_in(tmp_path, BARRED + waived())
    assert counting == []
    assert [(one.rule, one.reason, one.level) for one in kept] == [(RULE, "old run", "error")]


def test_waiver_holds_to_the_end_of_its_last_day(tmp_path: Path) -> None:
    assert found_in(tmp_path, BARRED + waived(), dt.date(2026, 12, 31))[0] == []


def test_expired_waiver_waives_nothing_and_is_told(tmp_path: Path) -> None:
    counting, kept = found_in(tmp_path, BARRED + waived(), dt.date(2027, 1, 1))
    assert counting == [("a.yaml", 3, "error", RULE), ("a.yaml", 5, "warning", "waiver/expired")]
    assert kept == []


def test_waiver_of_nothing_is_told(tmp_path: Path) -> None:
    assert found_in(tmp_path, FINE + waived())[0] == [("a.yaml", 5, "warning", "waiver/not-needed")]


def test_what_was_not_judged_may_be_waived_by_its_concern(tmp_path: Path) -> None:
    text = FINE.replace(", continuous: false", "")
    rule = "concern/continuous-load"
    assert found_in(tmp_path, text)[0] == [("a.yaml", 2, "note", rule)]
    counting, kept = found_in(tmp_path, text + waived(rule))
    assert counting == []
    assert [(one.rule, one.level, one.reason) for one in kept] == [(rule, "note", "old run")]


def test_concern_that_is_none_is_refused_with_the_nearest(tmp_path: Path) -> None:
    write(tmp_path, {"a.yaml": FINE + waived("concern/continuous-laod")})
    (one,) = audited(tmp_path).findings
    assert (one.level, one.spot.line) == ("error", 5)
    assert one.says.endswith("did you mean 'concern/continuous-load'?")


def test_referral_is_not_waived(tmp_path: Path) -> None:
    text = FINE.replace("volts: 120", "volts: 120, kind: service")
    first, _ = found_in(tmp_path, text)
    rule = next(rule for _, _, level, rule in first if level == "warning")
    counting, kept = found_in(tmp_path, text + waived(rule))
    assert ("a.yaml", 2, "warning", rule) in counting
    assert ("a.yaml", 5, "error", "waiver/not-allowed") in counting
    assert kept == []


def test_entry_that_is_not_valid_is_not_waived(tmp_path: Path) -> None:
    counting, _ = found_in(tmp_path, "joint: {conductors: [{size: 12}]}\n" + waived("input/invalid"))
    assert counting == [("a.yaml", 1, "error", "input/invalid"), ("a.yaml", 3, "error", "waiver/not-allowed")]


def test_waiver_holds_for_its_own_entry_only(tmp_path: Path) -> None:
    write(tmp_path, {"a.yaml": f"---\nid: a\n{BARRED}{waived()}---\nid: b\n{BARRED}"})
    assert [(line, rule) for _, line, _, rule in told(audited(tmp_path))] == [(12, RULE)]


def test_waiver_in_a_table_stands_in_columns_of_its_own(tmp_path: Path) -> None:
    head = "id,size,count,insulation,enclosure,current carrying,volts,amps,overcurrent amps,continuous,"
    head += "waive,waive reason,waive until\n"
    row = "12 AWG,2,THHN,raceway,3,120,8,15,no"
    write(tmp_path, {"a.csv": f"{head}a,{row},{RULE},old run,2026-12-31\nb,{row},{RULE},old run,2026-01-31\n"})
    assert told(audited(tmp_path)) == [("a.csv", 3, "error", RULE), ("a.csv", 3, "warning", "waiver/expired")]


@pytest.mark.parametrize(
    ("given", "pointer", "says"),
    [
        ("x", "/waive", "must be a list"),
        ([{"rule": RULE, "until": "2026-12-31"}], "/waive/0/reason", "is required"),
        ([{"rule": RULE, "reason": " ", "until": "2026-12-31"}], "/waive/0/reason", "is blank"),
        ([{"rule": RULE, "reason": "x"}], "/waive/0/until", "is required"),
        (
            [{"rule": RULE, "reason": "x", "until": "31.12.2026"}],
            "/waive/0/until",
            "is no day; write it like 2026-12-31",
        ),
        ([{"rule": RULE[:-1], "reason": "x", "until": "2026-12-31"}], "/waive/0/rule", f"did you mean '{RULE}'?"),
        ([{"rule": RULE, "reason": "x", "until": "2026-12-31", "by": "me"}], "/waive/0/by", "unknown key"),
    ],
)
def test_waiver_that_is_not_whole_is_refused(given: Any, pointer: str, says: str) -> None:
    with pytest.raises(Refused) as refused:
        read_waivers(given, RULES)
    (one,) = refused.value.problems
    assert one.pointer == pointer
    assert says in one.says


def test_waiver_that_is_not_whole_waives_nothing(tmp_path: Path) -> None:
    counting, _ = found_in(tmp_path, BARRED + f"waive: [{{rule: {RULE}, reason: x}}]\n")
    assert counting == [("a.yaml", 3, "error", RULE), ("a.yaml", 4, "error", "input/invalid")]


def test_what_is_waived_is_not_seen_by_the_reader_of_questions() -> None:
    given = {"joint": {}, "waive": [1]}
    assert take_waivers(given) == ({"joint": {}}, [1])
    assert given == {"joint": {}, "waive": [1]}
