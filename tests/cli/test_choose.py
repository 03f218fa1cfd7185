"""`splicewright choose`: exit status, tables for people, errors with their line."""

from __future__ import annotations

from pathlib import Path

import orjson
import pytest
from click.testing import CliRunner

from splicewright.cli.main import main

SMALLEST = "joint: {conductors: [{size: 12 AWG, count: 2}]}\n"


def test_text_answer_names_connectors_rules_sources_steps_and_cautions() -> None:
    result = CliRunner().invoke(main, ["choose", "-"], input=SMALLEST)
    assert result.exit_code == 0
    for part in (
        "best first",
        "NFPA 70",
        "Make-up of",
        "make-safe",
        "refused",
        "Cautions",
        "Assumed, because not stated",
    ):
        assert part in result.stdout


def test_barred_joint_exits_with_1_and_tells_why_and_what_would_do() -> None:
    result = CliRunner().invoke(main, ["choose", "-"], input=SMALLEST + "place: {enclosure: raceway}\n")
    assert result.exit_code == 1
    assert "Barred" in result.stdout
    assert "place.enclosure → box" in result.stdout


def test_referred_joint_exits_with_1() -> None:
    result = CliRunner().invoke(main, ["choose", "-"], input=SMALLEST + "circuit: {kind: service}\n")
    assert result.exit_code == 1
    assert "Handed over" in result.stdout


def test_typo_is_told_with_file_line_and_nearest_word(tmp_path: Path) -> None:
    path = tmp_path / "joint.yaml"
    path.write_text("# a remark\n" * 39 + "place: {exposure: wett}\n" + SMALLEST)
    result = CliRunner().invoke(main, ["choose", str(path)])
    assert result.exit_code == 2
    assert result.stderr == f"{path}:40: /place/exposure: \"wett\" is not known; did you mean 'wet'?\n"


def test_every_problem_is_told_at_once() -> None:
    result = CliRunner().invoke(
        main, ["choose", "-"], input="joint: {conductors: [{size: 12}, {size: 12 AWG, colour: 1}]}\n"
    )
    assert result.exit_code == 2
    assert "/joint/conductors/0/size: '12' has no unit" in result.stderr
    assert "/joint/conductors/1/colour: unknown key" in result.stderr


@pytest.mark.parametrize("text", ["", "joint: [", "&a 1", "\x00", "[" * 100_000])
def test_text_that_is_no_document_exits_with_2(text: str) -> None:
    result = CliRunner().invoke(main, ["choose", "-"], input=text)
    assert result.exit_code == 2
    assert result.stderr.startswith("-:")


def test_missing_file_exits_with_2(tmp_path: Path) -> None:
    result = CliRunner().invoke(main, ["choose", str(tmp_path / "none.yaml")])
    assert result.exit_code == 2
    assert "No such file" in result.stderr


def test_json_format_prints_one_json_document() -> None:
    result = CliRunner().invoke(main, ["choose", "-", "--format", "json", "--explain", "brief"], input=SMALLEST)
    assert orjson.loads(result.stdout)["outcome"] == "options"


@pytest.mark.parametrize(
    "command",
    [
        [],
        ["choose"],
        ["batch"],
        ["serve"],
        ["rules"],
        ["rules", "check"],
        ["rules", "list"],
        ["rules", "show"],
    ],
)
def test_help_is_there_for_every_command(command: list[str]) -> None:
    result = CliRunner().invoke(main, [*command, "--help"])
    assert result.exit_code == 0
    assert "Usage:" in result.stdout


def test_unknown_command_exits_with_2() -> None:
    assert CliRunner().invoke(main, ["chose"]).exit_code == 2
