"""`choose` takes a question in one line, and tells how it understood it."""

from __future__ import annotations

import json

import yaml
from click.testing import CliRunner, Result

from splicewright.cli.main import main


def ran(*words: str) -> Result:
    return CliRunner().invoke(main, ["choose", *words])


def test_it_is_printed_as_understood_before_the_answer() -> None:
    ended = ran("2 of 12 AWG solid; dry; 120 V")
    assert ended.exit_code == 0
    asked, use = ended.stdout.index("{size: 12 AWG, count: 2, construction: solid}"), ended.stdout.index("Use ")
    assert asked < use


def test_json_is_the_answer_to_the_question() -> None:
    said = json.loads(ran("2 of 12 AWG; wet", "--format", "json").stdout)
    assert said["outcome"] == "options"
    assert "/place/exposure" not in said["assumed"]


def test_it_can_be_written_as_yaml() -> None:
    ended = ran("2 of 12 AWG; wet", "--print-question")
    assert yaml.safe_load(ended.stdout) == {
        "joint": {"conductors": [{"size": "12 AWG", "count": 2}]},
        "place": {"exposure": "wet"},
    }


def test_what_can_not_be_placed_ends_it() -> None:
    ended = ran("2 of 12 AWG; wett")
    assert ended.exit_code == 2
    assert "column 14: \"wett\" is not known; did you mean 'wet'?" in ended.stderr
    assert ran("no such file.yaml").exit_code == 2


def test_it_is_told_in_the_words_it_was_understood_as() -> None:
    line = "2 of 12 AWG; outside; depth 24 in"
    place = {"site": "outdoors", "depth": {"value": 24, "unit": "in"}}
    written = ran(line, "--print-question").stdout
    assert yaml.safe_load(written)["place"] == place
    assert [line for line in written.splitlines() if line.startswith("#")] == ["# Read outside as outdoors"]
    told = ran(line).stdout
    asked, _, answer = told.partition("Use ")
    assert "site: outdoors" in asked
    assert "outside" not in asked
    assert "outside as outdoors" in answer
