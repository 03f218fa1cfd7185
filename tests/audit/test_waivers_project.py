"""Waivers of the project file hold for every entry, and are told with their line where they are wrong or over."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import pytest
from click.testing import CliRunner

from splicewright.answering import Chooser
from splicewright.audit.files import find_files
from splicewright.audit.run import Audited, audit
from splicewright.cli.main import main
from splicewright.faults import Faults
from tests.audit.folder import BARRED, FINE, ON, RULE, told, write
from tests.project.projects import project


def checked(folder: Path, waive: str, text: str = BARRED, on: dt.date = ON) -> Audited:
    write(folder, {"a.yaml": text})
    file = folder / "splicewright.toml"
    file.write_text(f"code = 'nfpa70-2023'\n{waive}", encoding="utf-8")
    return audit(find_files([str(folder / "a.yaml")]), Chooser(project=file), on=on)


def waived(rule: str = RULE, until: str = "2026-12-31") -> str:
    return f'[[waive]]\nrule = "{rule}"\nreason = "the firm has it so"\nuntil = {until}\n'


def states(found: Audited) -> list[tuple[str, str, str | None]]:
    return [(one.rule, one.state, one.reason) for one in found.findings]


def test_a_finding_of_any_entry_is_waived_and_stays_with_the_reason(tmp_path: Path) -> None:
    assert states(checked(tmp_path, waived())) == [(RULE, "waived", "the firm has it so")]


def test_one_beside_an_entry_is_stronger(tmp_path: Path) -> None:
    beside = f"waive:\n  - {{rule: {RULE}, reason: old run, until: 2026-12-31}}\n"
    assert states(checked(tmp_path, waived(), BARRED + beside)) == [(RULE, "waived", "old run")]


@pytest.mark.parametrize("ends", [("2026-12-31", "2026-01-31"), ("2026-01-31", "2026-12-31")])
def test_of_two_of_one_rule_that_counts_which_holds_longest(tmp_path: Path, ends: tuple[str, str]) -> None:
    both = "".join(waived(until=until) for until in ends)
    assert states(checked(tmp_path, both)) == [(RULE, "waived", "the firm has it so")]


def test_one_that_waives_nothing_here_is_not_told(tmp_path: Path) -> None:
    assert told(checked(tmp_path, waived(), FINE)) == []


def test_one_that_is_over_is_told_once_with_its_line(tmp_path: Path) -> None:
    one = f"- {BARRED.replace(chr(10), chr(10) + '  ').strip()}\n"
    found = checked(tmp_path, waived(), one * 2, dt.date(2027, 1, 1))
    (over,) = [one for one in found.findings if one.rule == "waiver/expired"]
    assert (over.spot.line, over.level, over.file.endswith("splicewright.toml")) == (2, "warning", True)
    assert [one.state for one in found.findings if one.rule == RULE] == ["new", "new"]


@pytest.mark.parametrize("text", [BARRED, FINE])
def test_what_may_not_be_waived_is_told(tmp_path: Path, text: str) -> None:
    found = checked(tmp_path, waived("input/invalid"), text)
    (one,) = [one for one in found.findings if one.rule == "waiver/not-allowed"]
    assert (one.spot.line, one.level) == (2, "error")


def test_a_rule_that_is_none_is_told_with_its_line_and_the_nearest(tmp_path: Path) -> None:
    with pytest.raises(Faults, match=r"splicewright\.toml:3: waive/0/rule: no rule: .* did you mean"):
        checked(tmp_path, waived(RULE[:-1]))


def test_a_shelf_in_a_folder_that_is_checked_is_no_entry(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    project(tmp_path)
    write(tmp_path, {"a.yaml": FINE})
    monkeypatch.chdir(tmp_path)
    ended = CliRunner().invoke(main, ["check", "--strict", "--on", "2026-01-01", "."])
    assert "our-shelf.yaml" not in ended.output
    assert "1 file" in ended.output
    named = CliRunner().invoke(main, ["check", "--report", "text", "shelf/our-shelf.yaml"])
    assert "our-shelf.yaml:1" in named.output
