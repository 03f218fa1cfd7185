"""Findings for people: a line each that an editor jumps to, and the counts."""

from __future__ import annotations

from pathlib import Path

import pytest

from splicewright.audit.run import Audited
from splicewright.refusals import clean
from splicewright.reports.findings_text import findings_text
from tests.audit.folder import BARRED, RULE, audited, write
from tests.reports.found import everything


@pytest.fixture(scope="module")
def found(tmp_path_factory: pytest.TempPathFactory) -> Audited:
    return everything(tmp_path_factory.mktemp("work"))


def test_finding_is_a_line_with_its_place_level_rule_joint_and_hint(found: Audited) -> None:
    line = next(splitline for splitline in findings_text(found).splitlines() if RULE in splitline)
    assert line == (
        "jobs/new.yaml:5:9: error: A joint inside a raceway is never seen again and parts when wire is pulled; "
        f"make it in a box on the run. [may be made with place.enclosure: box] [{RULE}] (joint barred)"
    )


def test_cell_is_named_by_its_sheet(found: Audited) -> None:
    assert '\nsheets/slip.xlsx:Joints!E4: error: exposure: "dryy" is not known' in findings_text(found)


def test_waived_and_known_findings_are_only_counted(found: Audited) -> None:
    text = findings_text(found)
    assert "(joint waived)" not in text
    assert text.endswith(
        "5 files, 9 entries: 3 errors, 1 warning, 3 notes\n1 finding in the baseline\n1 finding waived\n"
    )


def test_colour_is_there_only_where_asked_for(found: Audited) -> None:
    assert "\x1b[" not in findings_text(found)
    assert "\x1b[31m" in findings_text(found, colour=True)


def test_name_that_a_terminal_would_act_on_is_written_out(tmp_path: Path) -> None:
    write(tmp_path, {"a.yaml": 'id: "a\\x1b[2J\\n::error::b"\n' + BARRED})
    text = findings_text(audited(tmp_path))
    assert "(joint a\\x1b[2J\\x0a::error::b)" in text
    assert len(text.splitlines()) == 2


def test_file_passed_over_is_counted(tmp_path: Path) -> None:
    write(tmp_path, {"ci.yaml": "on: push\n"})
    assert findings_text(audited(tmp_path)).endswith(
        "1 file passed over, holding nothing to check; --strict tells them\n"
    )


def test_clean_text_stays_as_it_is() -> None:
    assert clean("ü 12 AWG → box") == "ü 12 AWG → box"
