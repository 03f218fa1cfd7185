"""`rules idle` as text and as JSON, and what it refuses."""

from __future__ import annotations

import json

import pytest
from click.testing import CliRunner, Result

from splicewright import shipped
from splicewright.cli.main import main

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
    assert told["stack"]["amendments"] == ["house-rules"]
    assert [one["line"] for one in told["silent"]] == [28, 5]
    assert (told["idle"], told["undecided"], told["asked"]) == ([], [], 163)


@pytest.mark.parametrize(
    ("words", "says"),
    [(("--code", "nfpa70-2022"), "nfpa70-2023"), (("--ruleset", "house-rules"), "--ruleset: ")],
)
def test_what_is_not_there_is_told(words: tuple[str, str], says: str) -> None:
    ended = ran(*words)
    assert ended.exit_code == 2
    assert says in ended.stderr
