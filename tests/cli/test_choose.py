"""`splicewright choose`: exit status, tables for people, errors with their line."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import orjson
import pytest
from click.testing import CliRunner

from splicewright import choose
from splicewright.answering import shipped_chooser
from splicewright.cli.main import main
from splicewright.yaml_text import read_yaml

SMALLEST = "joint: {conductors: [{size: 12 AWG, count: 2}]}\n"


def test_text_answer_tells_what_to_use_and_what_to_mind_and_the_rest_by_option() -> None:
    result = CliRunner().invoke(main, ["choose", "-"], input=SMALLEST)
    assert result.exit_code == 0
    for part in ("Use ", "Not judged: overcurrent", "strip ", "De-energize", "--why --steps --refusals --all"):
        assert part in result.stdout
    whole = CliRunner().invoke(main, ["choose", "-", "--all"], input=SMALLEST).stdout
    for part in ("NFPA 70", "Make-up of", "make-safe", "refused", "Assumed, because not stated", "answer sha256:"):
        assert part in whole
        assert part not in result.stdout


@pytest.mark.parametrize("using", ["twist-on", "twist-on-medium"])
def test_any_option_is_told_alone_with_its_rank_and_its_steps(using: str) -> None:
    result = CliRunner().invoke(main, ["choose", "-", "--using", using], input=SMALLEST)
    assert result.exit_code == 0
    assert re.match(r"twist-on-\S+ \(twist-on; listed\) ranks \d+ of \d+\.", result.stdout)
    assert "Turn the connector clockwise" in " ".join(result.stdout.split())


@pytest.mark.slow
def test_every_option_and_every_refused_connector_is_told_alone() -> None:
    catalogue = shipped_chooser().catalogue("shop")
    answer = shipped_chooser().choose({"joint": {"conductors": [{"size": "12 AWG", "count": 2}]}, "limit": 100})
    ranks = {option["connector"]: option["rank"] for option in answer["options"]}
    for connector in catalogue.connectors:
        told = CliRunner().invoke(main, ["choose", "-", "--using", connector.id], input=SMALLEST).stdout
        first = " ".join(told.split())
        if connector.id in ranks:
            assert f"ranks {ranks[connector.id]} of {len(ranks)}" in first
            assert "Make-up of" in told
        else:
            assert first.startswith(f"{connector.id} ({connector.method}) is refused.")
            assert re.search(r"\[[a-z-]+/[a-z0-9-]+", first)


def test_using_what_is_not_known_names_the_nearest() -> None:
    result = CliRunner().invoke(main, ["choose", "-", "--using", "twist-onn"], input=SMALLEST)
    assert result.exit_code == 2
    assert "did you mean 'twist-on'?" in result.stderr


def test_using_tells_of_a_barred_joint_that_it_is_barred() -> None:
    result = CliRunner().invoke(
        main, ["choose", "-", "--using", "lever"], input=SMALLEST + "place: {enclosure: raceway}\n"
    )
    assert result.exit_code == 1
    assert result.stdout.startswith("Barred")
    assert "lever was not looked at" in result.stdout


def test_barred_joint_exits_with_1_and_tells_why_and_what_would_do() -> None:
    result = CliRunner().invoke(main, ["choose", "-"], input=SMALLEST + "place: {enclosure: raceway}\n")
    assert result.exit_code == 1
    assert "Barred" in result.stdout
    assert "place.enclosure → box" in result.stdout


def test_referred_joint_exits_with_1() -> None:
    result = CliRunner().invoke(main, ["choose", "-"], input=SMALLEST + "circuit: {kind: service}\n")
    assert result.exit_code == 1
    assert result.stdout.startswith("Outside this tool: see 230.46")


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


def test_json_is_read_as_json() -> None:
    text = '{\n\t"id": "\\ud83d\\udca1 \\/ 4",\n\t"joint": {"conductors": [{"size": "12 AWG", "count": 2}]}}'
    assert printed(text=text)["id"] == "\U0001f4a1 / 4"


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ('{"joint": {},\n"joint": {}}', "-:2: the key 'joint' stands twice in one map"),
        ('{"joint":\n{"conductors":\n[{"size": "12 AWG", "count": 1.5}]}}', "-:3: /joint/conductors/0/count: 1.5 is"),
        ('{"joint":\n{"conductors": [{"size": "12 AWG",\n"count": 1e999}]}}', "-:3: the number 1e999 is out of range"),
    ],
)
def test_what_is_wrong_in_json_is_told_by_its_line(text: str, told: str) -> None:
    result = CliRunner().invoke(main, ["choose", "-"], input=text)
    assert result.exit_code == 2
    assert result.stderr.replace('"', "'").startswith(told)


def test_missing_file_exits_with_2(tmp_path: Path) -> None:
    result = CliRunner().invoke(main, ["choose", str(tmp_path / "none.yaml")])
    assert result.exit_code == 2
    assert "No such file" in result.stderr


def test_json_format_prints_one_json_document() -> None:
    result = CliRunner().invoke(main, ["choose", "-", "--format", "json", "--explain", "brief"], input=SMALLEST)
    assert orjson.loads(result.stdout)["outcome"] == "options"


def printed(*options: str, text: str = SMALLEST) -> dict[str, Any]:
    result = CliRunner().invoke(main, ["choose", "-", "--format", "json", *options], input=text)
    answer: dict[str, Any] = orjson.loads(result.stdout)
    return answer


def test_json_has_what_is_included_beside_what_is_explained() -> None:
    question = read_yaml(SMALLEST.encode()).value
    assert printed() == choose(question)
    assert printed("--include", "rules,meets") == {**choose({**question, "include": ["meets", "rules"]})}
    assert printed("--explain", "brief", "--include", " rules , meets") == printed("--include", "meets,rules")
    assert printed("--explain", "full", "--include", "rules") == choose(question)


def test_what_the_question_says_to_include_goes_before_the_option() -> None:
    said = printed("--include", "meets", text=SMALLEST + "include: [rules]\n")
    assert said == printed(text=SMALLEST + "include: [rules]\n")
    assert "rules" in said
    assert "meets" not in said["options"][0]


@pytest.mark.parametrize("command", ["choose", "check", "box", "batch"])
def test_name_of_what_to_include_that_is_none_exits_with_2_and_names_the_nearest(command: str) -> None:
    result = CliRunner().invoke(main, [command, "--include", "rules,prooves"], input=SMALLEST)
    assert result.exit_code == 2
    assert result.stderr.startswith("--include: ")
    assert "did you mean 'proofs'?" in result.stderr


@pytest.mark.parametrize("said", ["explain: brief", "include: []", "include: [digests]"])
def test_screen_is_the_same_however_much_the_question_asks_for(said: str) -> None:
    plain, other = (CliRunner().invoke(main, ["choose", "-", "--all"], input=text).stdout
                    for text in (SMALLEST, f"{SMALLEST}{said}\n"))  # fmt: skip
    assert without_address(other) == without_address(plain)


def without_address(text: str) -> list[str]:
    return [line for line in text.splitlines() if not line.startswith("answer ")]


NARROWED = SMALLEST + "only: {methods: [twist-on]}\n"


def test_narrowed_question_is_told_by_what_it_keeps_to() -> None:
    result = CliRunner().invoke(main, ["choose", "-"], input=NARROWED)
    assert result.exit_code == 0
    assert result.stdout.startswith("Use twist-on-")
    none = CliRunner().invoke(main, ["choose", "-"], input=SMALLEST + "only: {methods: [ground-crimp]}\n")
    assert none.exit_code == 1
    assert "that the question does not keep to were not looked at" in " ".join(none.stdout.split())
    assert "one not in this catalogue" not in none.stdout


def test_using_what_is_narrowed_away_tells_so() -> None:
    result = CliRunner().invoke(main, ["choose", "-", "--using", "lever"], input=NARROWED)
    assert result.exit_code == 0
    assert result.stdout.startswith("lever was not looked at: the question keeps to others.")


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
