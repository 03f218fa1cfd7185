"""An edition that is declared takes over no rule: the recipe for one, carried out on a copy of the program."""

from __future__ import annotations

import json
import os
import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from splicewright import shipped
from splicewright.codes import codes
from splicewright.operate.rule_check import Checked
from splicewright.operate.unread import Unread
from splicewright.reports.rules import print_counts, print_unread
from splicewright.rulebook import load_rulebook

SOURCES = Path(shipped.__file__).resolve().parent
CODE = next(iter(codes().by_name.values()))
NEW = "3000"
QUESTION = {"code": f"{CODE.name}-{NEW}", "joint": {"conductors": [{"size": "12 AWG", "count": 2}]}}


@pytest.fixture
def copy(tmp_path: Path) -> Path:
    """A copy of the program and of its rulesets, in which a further edition is declared."""
    shutil.copytree(
        SOURCES, tmp_path / "service" / "splicewright", ignore=shutil.ignore_patterns("data", "__pycache__")
    )
    shutil.copytree(shipped.folder("rulesets"), tmp_path / "rulesets")
    change(tmp_path / "rulesets" / "codes.yaml", rf"{CODE.through}\]", f"{CODE.through}, {NEW}]")
    return tmp_path


def change(path: Path, old: str, new: str) -> None:
    text, count = re.subn(old, new, path.read_text(), flags=re.MULTILINE)
    assert count, (path, old)
    path.write_text(text)


def run(copy: Path, *words: str, given: object = None) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", "splicewright", *words],
        input=json.dumps(given),
        capture_output=True,
        text=True,
        check=False,
        cwd=copy,
        env={**os.environ, "PYTHONPATH": str(copy / "service")},
    )


def code_files(copy: Path) -> list[Path]:
    files = [*(copy / "rulesets" / CODE.name).glob("*.yaml"), *(copy / "rulesets" / "tables").glob("*.yaml")]
    return [path for path in files if f"through: {CODE.through}" in path.read_text()]


@pytest.mark.slow
def test_a_declared_edition_is_refused_and_told_as_not_read(copy: Path) -> None:
    asked = run(copy, "choose", "-", given=QUESTION)
    assert asked.returncode == 2
    assert f"say {CODE.name}-{CODE.through}; the rules were not read for {NEW} yet" in asked.stderr

    told = json.loads(run(copy, "rules", "check", "--format", "json").stdout)
    (unread,) = told["unread"]
    assert unread["code"] == QUESTION["code"]
    of_files = {path.name for path in code_files(copy)}
    assert {Path(rule["file"]).name for rule in unread["rules"]} | {
        f"{table}.yaml" for table in unread["tables"]
    } == of_files
    assert unread["concerns"]


def test_what_is_not_read_is_counted_and_listed(capsys: pytest.CaptureFixture[str]) -> None:
    rules = tuple(rule for rule in load_rulebook(codes().default).rules if rule.code)[:2]
    coming = (Unread("made-last", rules, ("cover",), ("water", "room")),)
    print_counts(Checked((), rules, unread=coming))
    counted = "made-last may not be asked yet: 2 rules, 1 table and 2 concerns not read for it; --unread lists them"
    assert counted in capsys.readouterr().out.splitlines()
    print_unread(coming)
    assert capsys.readouterr().out.splitlines() == [
        "made-last: 2 rules, 1 table and 2 concerns not read for it",
        *(f"  {rule.file}:{rule.line}: {rule.id}" for rule in rules),
        "  tables/cover.yaml",
        "  concerns.yaml: water",
        "  concerns.yaml: room",
    ]


@pytest.mark.slow
def test_it_may_be_asked_once_all_is_read_and_not_while_anything_is_not(copy: Path) -> None:
    change(copy / "rulesets" / "codes.yaml", f"through: {CODE.through}", f"through: {NEW}")
    for part in ("tables", CODE.name):
        paths = [path for path in code_files(copy) if path.parent.name == part]
        paths += [copy / "rulesets" / "concerns.yaml"] if part == CODE.name else []
        for command in (("rules", "check"), ("choose", "-")):
            ended = run(copy, *command, given=QUESTION)
            assert (ended.returncode, ended.stdout) == (2, "")
            for path in paths:
                told = rf"{path.name}:\d+: .*through.*: is {CODE.through}, and {CODE.title} is asked through {NEW}; "
                assert re.search(told, ended.stderr), ended.stderr
        for path in paths:
            change(path, rf"(through: (?:{{{CODE.name}: )?){CODE.through}", rf"\g<1>{NEW}")
    # Articles that are written by edition are read one by one.
    written = rf"{CODE.name}-{CODE.through}: ('[^']*'|[^,}}]+)"
    change(copy / "rulesets" / "concerns.yaml", written, rf"\g<0>, {CODE.name}-{NEW}: \g<1>")
    asked = run(copy, "choose", "-", "--format", "json", given=QUESTION)
    assert (asked.returncode, json.loads(asked.stdout)["outcome"]) == (0, "options"), asked.stderr
    assert json.loads(asked.stdout)["rulesets"]["code"] == QUESTION["code"]
