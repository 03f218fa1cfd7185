"""`rules impact` in its four forms, and how it ends."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from splicewright import shipped
from splicewright.cli.main import main
from tests.house_rule import of_checks

JOB = str(shipped.folder("openapi") / "examples" / "boathouse-job.yaml")
HOUSE = ("--from", "nfpa70-2023", "--to", "nfpa70-2023+house-rules")


def ran(*words: str) -> Result:
    return CliRunner().invoke(main, ["rules", "impact", *words])


def test_the_table_tells_changes_with_their_source_and_reach() -> None:
    ended = ran(JOB, *HOUSE)
    shown = " ".join(ended.stdout.split())
    assert ended.exit_code == 0
    assert "nfpa70-2023@shop to nfpa70-2023+house-rules@shop: 8 of 163 joints are answered otherwise" in shown
    assert "1. house-rules/levers-in-luminaires added:" in shown
    assert "(8 joints) [common practice]" in shown
    assert "no longer offered: twist-on-medium" in shown


def test_markdown_and_sarif_tell_the_same() -> None:
    markdown = ran(JOB, *HOUSE, "--format", "markdown").stdout
    assert "| 1 | house-rules/levers-in-luminaires added:" in markdown
    assert "- `ceiling-light-hots x 8`" in markdown
    sarif = json.loads(ran(JOB, *HOUSE, "--format", "sarif").stdout)
    (result,) = sarif["runs"][0]["results"]
    assert (result["ruleId"], result["level"]) == ("impact/changed", "note")
    assert result["locations"][0]["physicalLocation"]["region"]["startLine"] > 1
    told = json.loads(ran(JOB, *HOUSE, "--format", "json").stdout)
    assert (told["changed"], told["decided"]) == (8, 0)


@pytest.mark.parametrize(
    ("fail_on", "to", "status"),
    [
        ("never", "nfpa70-2023+house-rules", 0),
        ("change", "nfpa70-2023+house-rules", 1),
        ("decision", "nfpa70-2023+house-rules", 0),
        ("change", "nfpa70-2023", 0),
    ],
)
def test_it_ends_as_it_was_asked_to(fail_on: str, to: str, status: int) -> None:
    assert ran(JOB, "--from", "nfpa70-2023", "--to", to, "--fail-on", fail_on).exit_code == status


def test_a_decision_that_changes_fails_where_that_is_asked(tmp_path: Path) -> None:
    file = tmp_path / "a.yaml"
    file.write_text("joint: {conductors: [{size: 14 AWG, count: 3}], tags: [kitchen]}\n")
    ended = ran(str(file), *HOUSE, "--fail-on", "decision")
    assert ended.exit_code == 1
    assert "best: push-in-3-port, now lever-3-port [1 alone]" in " ".join(ended.stdout.split())


def test_a_verdict_that_changes_is_a_decision(tmp_path: Path) -> None:
    check, rules = tmp_path / "c.yaml", tmp_path / "our-firm.yaml"
    check.write_text(
        "joint: {conductors: [{size: 14 AWG, count: 3}]}\n"
        "proposal: {connector: lever-3-port, strip: {value: 11, unit: mm}, tugged: true, reused: true}\n"
    )
    rules.write_text(of_checks())
    stacks = (str(check), "--from", "nfpa70-2023", "--to", f"nfpa70-2023+{rules}")
    ended = ran(*stacks, "--fail-on", "decision")
    shown = " ".join(ended.stdout.split())
    assert ended.exit_code == 1
    assert "With another outcome, connector or verdict" in shown
    assert "verdict: sound, now unsound [1 alone]" in shown
    assert "new violation: We use no lever twice. [1 alone]" in shown
    (result,) = json.loads(ran(*stacks, "--format", "sarif").stdout)["runs"][0]["results"]
    assert (result["ruleId"], result["level"]) == ("impact/decided", "warning")


@pytest.mark.parametrize("within", ["{}", "boxes: [{}]"])
def test_boxes_without_joints_are_told_alone(tmp_path: Path, within: str) -> None:
    file = tmp_path / "box.yaml"
    wires = "[{size: 12 AWG, count: 8}, {size: 12 AWG, count: 6, role: equipment-grounding}]"
    box = f"{{id: bx, box: {{volume: 22.5 in3}}, wires: {wires}}}"
    file.write_text(within.format(box))
    shown = " ".join(ran(str(file), "--from", "nfpa70-2017", "--to", "nfpa70-2023").stdout.split())
    assert shown.startswith("nfpa70-2017@shop to nfpa70-2023@shop: 1 box filled otherwise.")
    assert "needs 20.25 in³, now 21.375 in³" in shown


@pytest.mark.parametrize(
    ("words", "told"),
    [
        ((JOB, "--from", "nfpa70-2021", "--to", "nfpa70-2023"), "did you mean 'nfpa70-2023'?"),
        (("none.yaml", *HOUSE), "none.yaml: no such file or folder"),
        ((JOB, "--from", "nfpa70-2023", "--to", "nfpa70-2023+./no.yaml"), "./no.yaml: No such file"),
    ],
)
def test_what_is_wrong_is_told(words: tuple[str, ...], told: str) -> None:
    ended = ran(*words)
    assert (ended.exit_code, told in ended.stderr) == (2, True), ended.stderr
