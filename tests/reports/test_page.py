"""Text from outside is printed as it is, whatever it holds."""

from __future__ import annotations

import json
import re
from dataclasses import replace
from pathlib import Path

import pytest
from click.testing import CliRunner
from hypothesis import given
from hypothesis import strategies as st

import splicewright
from splicewright.cli.main import main
from splicewright.refusals import clean
from splicewright.reports.page import page
from splicewright.reports.rules import print_rule
from splicewright.rulebook import load_rulebook

ACTED_ON = ["\x1b[31mred", "a\nb", "\r", "\x00", "\u202eabc", "\u2066x\u2069", "\u200b", "\ufeff", "\x9b31m", "\u2028"]


@given(st.text())
def test_nothing_that_a_terminal_acts_on_is_left(text: str) -> None:
    told = clean(text)
    assert told.isprintable()
    assert clean(told) == told


@pytest.mark.parametrize("text", ACTED_ON)
@pytest.mark.parametrize("way", ["headline", "title", "line", "item", "labeled", "table"])
def test_every_way_of_printing_cleans(text: str, way: str, capsys: pytest.CaptureFixture[str]) -> None:
    with page() as out:
        if way == "labeled":
            out.labeled("Label", [text])
        elif way == "table":
            out.table([(text, False)], [[text]])
        else:
            getattr(out, way)(text)
    printed = capsys.readouterr().out
    assert clean(text) in printed
    assert not any(character in printed for character in "\x1b\r\x00\x9b\u202e\u2066\u200b\ufeff\u2028")


def test_markup_is_no_markup(capsys: pytest.CaptureFixture[str]) -> None:
    with page() as out:
        out.headline("[red]x[/red]")
        out.item("[bold]y", "[link=z]")
    printed = capsys.readouterr().out
    assert "[red]x[/red]" in printed
    assert "[bold]y [[link=z]]" in printed


def test_no_other_module_writes_to_a_screen_by_itself() -> None:
    package = Path(splicewright.__file__).parent
    found = {
        path.relative_to(package).as_posix()
        for path in package.rglob("*.py")
        if re.search(r"^\s*(from|import) rich\b", path.read_text(encoding="utf-8"), re.MULTILINE)
    }
    assert found == {"reports/page.py", "cli/progress.py", "cli/waiting.py"}


@pytest.mark.parametrize("command", ["choose", "check", "box", "job"])
def test_what_is_wrong_is_told_with_nothing_acted_on(command: str, tmp_path: Path) -> None:
    path = tmp_path / "q.json"
    path.write_text(json.dumps({"a\x1b[31m\u202eb\r\nc": 1}), encoding="utf-8")
    told = CliRunner().invoke(main, [command, str(path)], color=True).output
    assert "/a\\x1b[31m\\x202eb\\x0d\\x0ac" in told
    assert not {"\x1b", "\u202e", "\r"} & set(told)


def test_rule_of_a_folder_is_shown_with_nothing_acted_on(capsys: pytest.CaptureFixture[str]) -> None:
    rule = load_rulebook("nfpa70-2023").rules[0]
    print_rule(replace(rule, raw={**rule.raw, "says": "a\u202eb \u2066c"}))
    assert "\u202e" not in capsys.readouterr().out
