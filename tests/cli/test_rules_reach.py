"""`splicewright rules reach`: what a word turns on and off, for people and as JSON."""

from __future__ import annotations

import orjson
import pytest
from click.testing import CliRunner, Result

from splicewright.cli.main import main


def reach(*arguments: str) -> Result:
    return CliRunner().invoke(main, ["rules", "reach", *arguments])


def test_rules_are_told_by_what_they_do_with_what_they_say_and_their_source() -> None:
    result = reach("enclosure=raceway")
    assert result.exit_code == 0
    lines = result.stdout.splitlines()
    assert lines[0] == "place.enclosure=raceway: the inside of a conduit or tubing"
    assert lines[2:5] == [
        "turns on",
        "  bars",
        "    access/never-inside-a-raceway (place.enclosure: raceway) — NFPA 70 300.13(A)",
    ]
    after = result.stdout[result.stdout.index("\nturns off\n") :]
    assert [after.index(f"\n  {group}\n") for group in ("bars", "demands", "cautions", "rest")] == sorted(
        after.index(f"\n  {group}\n") for group in ("bars", "demands", "cautions", "rest")
    )


def test_word_of_two_leaves_is_told_for_each() -> None:
    (kind, role) = orjson.loads(reach("control", "--format", "json").stdout)
    assert (kind["leaf"], role["leaf"], kind["word"], role["word"]) == (
        "circuit.kind", "conductor.role", "control", "control",
    )  # fmt: skip
    refer = {one["id"] for one in kind["off"] if one["does"] == "refer"}
    assert "scope/fire-alarm-circuit" in refer
    (one,) = [one for one in kind["on"] if one["id"] == "access/control-above-class-2-in-a-box"]
    assert (one["does"], one["by"]) == ("bar", "circuit.kind: control")
    assert one["source"]["section"].startswith("300.15")


def test_text_and_json_have_the_same_rules() -> None:
    text = reach("luminaire").stdout
    for leaf in orjson.loads(reach("luminaire", "--format", "json").stdout):
        for group in ("on", "off", "unless", "measured"):
            for one in leaf[group]:
                assert one["id"] in text


def test_leaf_tells_the_rules_that_test_it() -> None:
    assert "\nis tested by\n" in reach("circuit.kind").stdout
    (found,) = orjson.loads(reach("circuit.kind", "--format", "json").stdout)
    assert found["word"] is None
    assert found["on"]
    assert found["off"] == []


def test_word_that_reaches_no_rule_says_so() -> None:
    assert reach("joint.materials=copper").stdout.splitlines()[-1] == "  reaches no rule"


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        (["controll"], "\"controll\" is not known; did you mean 'control'?\n"),
        (["kind=controll"], "circuit.kind: \"controll\" is not known; did you mean 'control'?\n"),
        (["control", "--code", "nfpa70-2032"], "--code: "),
    ],
)
def test_what_is_not_known_exits_with_2_and_names_the_nearest(arguments: list[str], says: str) -> None:
    result = reach(*arguments)
    assert (result.exit_code, result.stdout) == (2, "")
    assert result.stderr.startswith(says)


def test_words_that_house_rules_test_are_reached() -> None:
    for word in ("kitchen", "tags=kitchen"):
        (found,) = orjson.loads(reach(word, "--amend", "house-rules", "--format", "json").stdout)
        assert [one["id"] for one in found["on"]] == ["house-rules/no-push-ins-in-kitchens"]
        assert [one["id"] for one in found["unless"]] == ["house-rules/label-what-waits"]


def test_code_edition_decides_which_rules_there_are() -> None:
    (old,) = orjson.loads(reach("kind=service", "--code", "nfpa70-2017", "--format", "json").stdout)
    assert "scope/service-conductors-in-2017" in {one["id"] for one in old["on"]}
