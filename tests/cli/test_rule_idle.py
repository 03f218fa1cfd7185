"""`rules idle` as text and as JSON, and what it refuses."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result

from splicewright import shipped
from splicewright.cli.main import main
from tests.house_rule import of_checks

JOB = str(shipped.folder("openapi") / "examples" / "boathouse-job.yaml")
HOUSE = ("--amend", "house-rules", "--ruleset", "house-rules")


def ran(*words: str) -> Result:
    return CliRunner().invoke(main, ["rules", "idle", JOB, *words])


def test_text_tells_each_with_file_and_line() -> None:
    ended = ran(*HOUSE)
    shown = " ".join(ended.stdout.split())
    assert ended.exit_code == 0
    assert "nfpa70-2023+house-rules@shop: 3 rules on 163 joints" in shown
    assert "2 rules fire on none of them" in shown
    assert "amendments/house-rules.yaml:5: house-rules/no-push-ins-in-kitchens (bar)" in shown


def test_json_tells_the_same() -> None:
    told = json.loads(ran(*HOUSE, "--format", "json").stdout)
    assert [one["amendments"] for one in told["stacks"]] == [["house-rules"]]
    assert [one["line"] for one in told["silent"]] == [28, 5]
    assert (told["idle"], told["undecided"], told["asked"]) == ([], [], 163)


@pytest.mark.parametrize(
    ("proposal", "told"),
    [
        ("", "0 rules on 1 joint not judged: 1 rule on what is not asked for here"),
        ("proposal: {method: lever, reused: true}", "1 rule on 1 joint each rule changes some answer"),
        ("proposal: {method: lever}", "without any one of them each answer is the same"),
    ],
)
def test_rules_on_proposals_are_judged_where_there_are_any(tmp_path: Path, proposal: str, told: str) -> None:
    rules, question = tmp_path / "our-firm.yaml", tmp_path / "q.yaml"
    rules.write_text(of_checks())
    question.write_text(f"joint: {{conductors: [{{size: 14 AWG, count: 3}}]}}\n{proposal}\n")
    words = ["rules", "idle", str(question), "--amend", str(rules), "--ruleset", "our-firm"]
    assert told in " ".join(CliRunner().invoke(main, words).stdout.split())


@pytest.mark.parametrize(
    ("words", "says"),
    [(("--code", "nfpa70-2022"), "nfpa70-2023"), (("--ruleset", "house-rules"), "--ruleset: ")],
)
def test_what_is_not_there_is_told(words: tuple[str, str], says: str) -> None:
    ended = ran(*words)
    assert ended.exit_code == 2
    assert says in ended.stderr


def test_each_joint_is_put_to_the_code_and_amendments_that_it_names(tmp_path: Path) -> None:
    joint = {"conductors": [{"size": "12 AWG", "count": 2}], "tags": ["kitchen"]}
    asked = [
        {"joint": joint},
        {"joint": joint, "code": "nfpa70-2017"},
        {"joint": joint, "amendments": ["house-rules"]},
        {"joint": joint, "code": "nfpa70-2020", "amendments": []},
    ]
    file = tmp_path / "asked.ndjson"
    file.write_text("".join(json.dumps(one) + "\n" for one in asked))

    def told(*words: str) -> dict[str, Any]:
        ended = CliRunner().invoke(main, ["rules", "idle", str(file), "--format", "json", *words])
        assert ended.exit_code == 0, ended.output
        found: dict[str, Any] = json.loads(ended.stdout)
        return found

    def stacks(found: dict[str, Any]) -> list[tuple[str, ...]]:
        return sorted((one["code"], *one["amendments"]) for one in found["stacks"])

    plain = told()
    assert stacks(plain) == [
        ("nfpa70-2017",), ("nfpa70-2020",), ("nfpa70-2023",), ("nfpa70-2023", "house-rules"),
    ]  # fmt: skip
    silent = {one["rule"] for one in plain["silent"]}
    assert "house-rules/no-push-ins-in-kitchens" not in silent
    assert "house-rules/label-what-waits" in silent
    assert stacks(told("--amend", "coastal-county")) == [
        ("nfpa70-2017", "coastal-county"), ("nfpa70-2020",), ("nfpa70-2023", "coastal-county"),
        ("nfpa70-2023", "house-rules"),
    ]  # fmt: skip
    assert stacks(told("--code", "nfpa70-2020")) == [("nfpa70-2020",)]


def test_a_stack_that_can_not_be_is_told_where_it_is_asked(tmp_path: Path) -> None:
    file = tmp_path / "asked.yaml"
    file.write_text("{joint: {conductors: [{size: 12 AWG, count: 2}]}, amendments: [hose-rules]}")
    ended = CliRunner().invoke(main, ["rules", "idle", str(file)])
    assert ended.exit_code == 2
    assert ended.stderr.endswith(
        "asked.yaml:1: /amendments/0: \"hose-rules\" is not known; did you mean 'house-rules'?\n"
    )
