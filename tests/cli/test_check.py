"""`splicewright check`: exit status, tables for people, errors with their line."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import orjson
import pytest
from click.testing import CliRunner

from splicewright import check_splice, shipped
from splicewright.cli.main import main
from splicewright.yaml_text import read_yaml

EXAMPLES = shipped.folder("openapi") / "examples"
JOINT = "joint: {conductors: [{size: 12 AWG, count: 2}]}\n"


@pytest.mark.parametrize(
    ("name", "status", "words"),
    [
        (
            "boathouse-check",
            0,
            ["Sound", "points borne out", "Not judged"],
        ),
        ("boathouse-check-unsound", 1, ["Unsound", "Against it", "Fine strands splay", "lever-3-port"]),
    ],
)
def test_examples_are_told_with_their_reasons(name: str, status: int, words: list[str]) -> None:
    result = CliRunner().invoke(main, ["check", str(EXAMPLES / f"{name}.yaml")])
    assert result.exit_code == status
    text = " ".join(result.stdout.split())
    assert [word for word in words if word not in text] == []


def test_what_is_open_is_told_with_its_pointer_and_exits_with_1() -> None:
    result = CliRunner().invoke(main, ["check"], input=JOINT + "proposal: {method: lever, taped: true}\n")
    assert result.exit_code == 1
    text = " ".join(result.stdout.split())
    for words in ("Unproven", "some lever connector", "state proposal.connector: ", "No rule proposal.taped: yes"):
        assert words in text


def test_all_tells_what_is_borne_out_and_every_default() -> None:
    result = CliRunner().invoke(main, ["check", "--all", str(EXAMPLES / "boathouse-check.yaml")])
    text = " ".join(result.stdout.split())
    for words in ("Borne out", "Assumed, because not stated", "vibration/tape-keeps", "0.5 in; 13 mm is listed"):
        assert words in text


def test_a_breaker_that_was_not_stated_is_told_first() -> None:
    given = JOINT + "proposal: {connector: lever-2-port, strip: {value: 11, unit: mm}, tugged: true}\n"
    result = CliRunner().invoke(main, ["check"], input=given)
    assert result.exit_code == 0
    assert result.stdout.startswith("Sound in what was judged. Not judged: overcurrent, continuous-load")


def test_sound_is_said_of_what_was_judged_whole() -> None:
    circuit = "circuit: {amps: 12, overcurrent_amps: 20, continuous: false}\n"
    given = JOINT + circuit + "proposal: {connector: lever-2-port, strip: {value: 11, unit: mm}, tugged: true}\n"
    result = CliRunner().invoke(main, ["check"], input=given)
    assert result.stdout.startswith("Sound: nothing speaks against it")


def test_connectors_that_a_reason_holds_for_are_named() -> None:
    result = CliRunner().invoke(main, ["check"], input=JOINT + "circuit: {volts: 1000}\nproposal: {method: lever}\n")
    assert "Holds for lever-2-port" in " ".join(result.stdout.split())


def test_json_format_prints_the_answer() -> None:
    path = EXAMPLES / "boathouse-check.yaml"
    result = CliRunner().invoke(main, ["check", str(path), "--format", "json"])
    assert orjson.loads(result.stdout) == check_splice(read_yaml(path.read_bytes()).value)


def test_brief_is_printed_too() -> None:
    result = CliRunner().invoke(main, ["check", "--explain", "brief", str(EXAMPLES / "boathouse-check.yaml")])
    assert result.exit_code == 0
    assert "points borne out" in result.stdout


def test_every_problem_is_told_with_file_line_and_nearest_word(tmp_path: Path) -> None:
    path = tmp_path / "check.yaml"
    path.write_text(JOINT + "proposal:\n  connector: lever-2-prt\n  tuged: true\n  strip: {value: 1, unit: inch}\n")
    result = CliRunner().invoke(main, ["check", str(path)])
    assert result.exit_code == 2
    told = result.stderr.splitlines()
    assert [line.removeprefix(f"{path}:").split(":")[:2] for line in told] == [
        ["3", " /proposal/connector"],
        ["5", " /proposal/strip/unit"],
        ["4", " /proposal/tuged"],
    ]
    assert "did you mean 'lever-2-port'?" in told[0]
    assert "did you mean 'tugged'?" in told[2]


def printed(*options: str, text: str) -> dict[str, Any]:
    result = CliRunner().invoke(main, ["check", "--format", "json", *options], input=text)
    answer: dict[str, Any] = orjson.loads(result.stdout)
    return answer


def test_json_has_what_is_included_beside_the_least() -> None:
    text = JOINT + "proposal: {connector: lever-2-port}\n"
    check = read_yaml(text.encode()).value
    assert printed(text=text) == check_splice(check)
    assert printed("--include", "confirmed", text=text) == check_splice({**check, "include": ["confirmed"]})
    own = text + "include: [rules]\n"
    assert printed("--include", "confirmed", text=own) == check_splice({**check, "include": ["rules"]})
