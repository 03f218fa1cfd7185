"""`--amend` lays amendments over the code for one command, by name or from a file."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result

from splicewright.cli.main import main
from tests.house_rule import LEVERS
from tests.project.projects import project

QUESTION = "{joint: {conductors: [{size: 14 AWG, count: 3}], tags: [kitchen]}}"


@pytest.fixture
def firm(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.delenv("SPLICEWRIGHT_PROJECT", raising=False)
    monkeypatch.chdir(tmp_path)
    (tmp_path / "our-firm.yaml").write_text(LEVERS)
    return tmp_path / "our-firm.yaml"


def ran(*words: str, given: str = QUESTION) -> Result:
    return CliRunner().invoke(main, words, input=given)


def answered(*words: str) -> dict[str, Any]:
    found: dict[str, Any] = json.loads(ran("choose", "-", "--format", "json", *words).stdout)
    return found


def test_a_rule_that_was_taken_out_is_told_with_file_and_line() -> None:
    words = ["rules", "show", "service/clear-housing-shows-the-ends", "--amend", "coastal-county"]
    ended = CliRunner().invoke(main, words)
    assert ended.exit_code == 2
    assert "was withdrawn by coastal-county (amendments/coastal-county.yaml:6): Inspectors here open" in ended.stderr


def test_an_amendment_is_laid_by_name_or_from_its_file(firm: Path) -> None:
    for named, name in (("house-rules", "house-rules"), (str(firm), "our-firm"), ("./our-firm.yaml", "our-firm")):
        said = answered("--amend", named)
        assert said["rulesets"]["amendments"] == [name]
        assert said["assumed"]["/amendments"] == {"value": [name], "from": "option"}
        assert "push-in" not in {option["method"] for option in said["options"]}


def test_a_file_that_is_named_is_read_whichever_ending_yaml_has(firm: Path) -> None:
    firm.rename(firm.with_suffix(".yml"))
    assert answered("--amend", "our-firm.yml")["rulesets"]["amendments"] == ["our-firm"]


def test_it_is_laid_over_those_of_the_project_and_a_file_stands_for_one_of_the_same_name(firm: Path) -> None:
    file = project(firm.parent)
    (firm.parent / "rules").mkdir()
    (firm.parent / "rules" / "our-firm.yaml").write_text(LEVERS.replace("push-in", "lever"))
    file.write_text('amendments = ["our-firm", "house-rules"]\namendment_files = "rules"\n' + file.read_text())
    plain = answered()
    assert plain["rulesets"]["amendments"] == ["our-firm", "house-rules"]
    assert plain["assumed"]["/amendments"]["from"] == "project"
    assert answered("--amend", "coastal-county")["rulesets"]["amendments"] == [
        "our-firm",
        "house-rules",
        "coastal-county",
    ]
    said = answered("--amend", "./our-firm.yaml")
    assert said["rulesets"]["amendments"] == ["house-rules", "our-firm"]
    assert "lever" in {option["method"] for option in said["options"]}


def test_the_screen_tells_what_was_laid_and_what_it_set_aside() -> None:
    ended = ran("choose", "-", "--amend", "coastal-county")
    shown = " ".join(ended.stdout.split())
    assert "Amended by coastal-county" in shown
    assert "service/clear-housing-shows-the-ends withdrawn by coastal-county: Inspectors here open" in shown
    assert "Amended" not in ran("choose", "-").stdout


@pytest.mark.parametrize(
    ("named", "told"),
    [
        ("hose-rules", "--amend: \"hose-rules\" is not known; did you mean 'house-rules'?"),
        ("./none.yaml", "./none.yaml: No such file or directory"),
    ],
)
@pytest.mark.usefixtures("firm")
def test_what_is_not_there_is_told(named: str, told: str) -> None:
    ended = ran("choose", "-", "--amend", named)
    assert (ended.exit_code, ended.stderr.strip()) == (2, told)


def test_a_fault_of_its_file_is_told_with_its_line(firm: Path) -> None:
    firm.write_text(LEVERS.replace("push-in}", "push}"))
    ended = ran("choose", "-", "--amend", "./our-firm.yaml")
    assert ended.exit_code == 2
    assert './our-firm.yaml:7: no-push-ins: bar/method: "push" is not known' in ended.stderr


def test_every_command_that_answers_takes_it(firm: Path) -> None:
    box = "{wires: [{size: 14 AWG, count: 3}], joints: [{joint: {conductors: [{size: 14 AWG, count: 3}]}}]}"
    job = "{joints: [{joint: {conductors: [{size: 14 AWG, count: 3}]}}]}"
    (firm.parent / "splices").mkdir()
    (firm.parent / "splices" / "a.yaml").write_text("id: a\n" + "joint: {conductors: [{size: 14 AWG, count: 3}]}\n")
    line = json.dumps({"joint": {"conductors": [{"size": "14 AWG", "count": 3}]}})
    for words, given in (
        (("box", "-", "--format", "json"), box),
        (("job", "-", "--format", "json"), job),
        (("batch", "-", "--explain", "full", "--quiet"), line),
        (("rules", "list"), ""),
        (("rules", "show", "our-firm/no-push-ins"), ""),
    ):
        ended = ran(*words, "--amend", str(firm), given=given)
        assert "our-firm" in ended.stdout, (words, ended.output)
    assert ran("check", "splices", "--amend", str(firm)).exit_code in (0, 1)
    assert ran("check", "splices", "--amend", "nobodys").exit_code == 2
