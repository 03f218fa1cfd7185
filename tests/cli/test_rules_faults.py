"""Faults of rules are counted in words that go with their number."""

from __future__ import annotations

from pathlib import Path

import pytest
from click.testing import CliRunner

from splicewright.cli.main import main
from splicewright.faults import Fault
from splicewright.operate import rule_check
from splicewright.operate.rule_check import Checked

ONE, OTHER = Fault("a.yaml", 1, "one", "is wrong"), Fault("b.yaml", 2, "two", "is wrong")


@pytest.mark.parametrize(
    ("faults", "says"),
    [
        ((ONE,), "1 fault in 1 file"),
        ((ONE, ONE), "2 faults in 1 file"),
        ((ONE, OTHER), "2 faults in 2 files"),
    ],
)
def test_faults_of_rule_files_are_counted(
    monkeypatch: pytest.MonkeyPatch, faults: tuple[Fault, ...], says: str
) -> None:
    monkeypatch.setattr(rule_check, "check_rulesets", lambda *_, **__: Checked(faults, ()))
    ended = CliRunner().invoke(main, ["rules", "check"])
    assert ended.exit_code == 2
    assert ended.stderr.splitlines()[-1] == says


@pytest.mark.parametrize(("files", "says"), [(1, "1 fault"), (2, "2 faults")])
def test_faults_of_what_is_tried_are_counted(tmp_path: Path, files: int, says: str) -> None:
    paths = [tmp_path / f"ours-{at}.yaml" for at in range(files)]
    for path in paths:
        path.write_text("amendment: [", encoding="utf-8")
    ended = CliRunner().invoke(main, ["rules", "try", *map(str, paths)])
    assert ended.exit_code == 2
    assert ended.stderr.splitlines()[-1] == says
