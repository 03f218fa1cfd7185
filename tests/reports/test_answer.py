"""The first screen of an answer: short, with every special caution, plain in a pipe, and nothing acted on."""

from __future__ import annotations

import random
import re
from collections.abc import Mapping
from typing import Any

import pytest

from splicewright import choose
from splicewright.reports import page
from splicewright.reports.answer import ON_SCREEN, Shown, print_answer
from tests.reports.ordinary import ordinary_given

THREE = {"joint": {"conductors": [{"size": "14 AWG", "count": 3}]}}


def told(given: Mapping[str, Any], shown: Shown | None = None) -> dict[str, Any]:
    """Answer with what the screen asks for."""
    more = ["assumed"] if shown and shown.everything else []
    return choose({**given, "include": [*ON_SCREEN, *more]})


@pytest.fixture
def printed(capsys: pytest.CaptureFixture[str]) -> Any:
    def give(given: Mapping[str, Any], shown: Shown | None = None) -> str:
        print_answer(told(given, shown), shown)
        return capsys.readouterr().out

    return give


def words(text: str) -> str:
    return " ".join(text.split())


@pytest.mark.slow
def test_ordinary_questions_take_fifteen_lines_at_80_columns_and_hide_no_caution(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(page, "PLAIN_WIDTH", 80)
    rng = random.Random(13)
    questions = [ordinary_given(rng) for _ in range(2_000)]
    lengths = []
    for given in questions:
        print_answer(told(given) | {"catalogue": {"name": "ours"}})  # the line of an invented shelf is no part of it
        text = capsys.readouterr().out
        said, answer = words(text), choose(given)
        for caution in answer["cautions"]:
            assert caution["kind"] == "always" or f"{caution['says']} [{caution['rule']}]" in said
        for one in answer["judged"]:
            if "why" in one and answer["outcome"] == "options" and "asks" not in one:
                assert f"{one['concern']}, see {one['article']}" in said
        assert max(map(len, text.splitlines())) <= 80
        lengths.append(len(text.splitlines()))
    assert sum(length <= 15 for length in lengths) >= 0.95 * len(lengths)


def test_first_line_names_the_connector_and_what_was_not_judged(printed: Any) -> None:
    first, demo, second, *_ = printed(THREE).splitlines()
    best = choose(THREE)["options"][0]
    assert first.startswith(f"Use {best['connector']}: {best['method']}, listed.")
    assert first.endswith("Not judged: overcurrent, continuous-load")
    assert "these connectors are invented" in demo
    assert "strip" in second
    assert re.search(r"/16 in|/2 in|/8 in", second)
    assert " mm" in second


def test_what_to_state_is_named_as_people_write_it(printed: Any) -> None:
    assert "state circuit.overcurrent_amps, circuit.continuous, circuit.amps" in words(printed(THREE))


def test_everything_judged_leaves_the_first_line_alone(printed: Any) -> None:
    circuit = {"amps": 10, "overcurrent_amps": 15, "continuous": False}
    given = {"joint": {"conductors": [{"size": "14 AWG", "count": 3, "insulation": "THHN"}]}, "circuit": circuit}
    given["place"] = {"room": True, "current_carrying": 3}
    assert "Not judged" not in printed(given).splitlines()[0]
    assert "To judge" not in printed(given)


@pytest.mark.parametrize(
    ("shown", "title"),
    [
        (Shown(steps=True), "Make-up of"),
        (Shown(why=True), "What the joint asks for"),
        (Shown(refusals=True), "connectors refused"),
        (Shown(everything=True), "Assumed, because not stated"),
    ],
)
def test_the_rest_is_there_where_it_is_asked_for(printed: Any, shown: Shown, title: str) -> None:
    assert title not in printed(THREE)
    assert title in printed(THREE, shown)


def test_all_tells_all_that_the_other_options_do_and_the_standing_cautions(printed: Any) -> None:
    text = words(printed(THREE, Shown(everything=True)))
    for shown in (Shown(steps=True), Shown(why=True), Shown(refusals=True)):
        titles = [line for line in printed(THREE, shown).splitlines() if line and not line.startswith(" ")]
        assert all(words(title) in text for title in titles if not title.startswith(("More", "To judge", "No rule",
                                                                                      "Assumed")))  # fmt: skip
    for caution in choose(THREE)["cautions"]:
        assert caution["says"] in text


def test_barred_joint_tells_each_cause_with_its_rule_and_what_would_do(printed: Any) -> None:
    text = words(printed({**THREE, "place": {"enclosure": "raceway"}}))
    assert text.startswith("Barred: this joint may not be made as posed.")
    assert "[access/never-inside-a-raceway — NFPA 70 300.13(A)]" in text
    assert "place.enclosure → box" in text


def test_what_is_outside_names_its_article_first(printed: Any) -> None:
    assert printed({**THREE, "work": {"wiring_age": "knob-and-tube"}}).startswith("Outside this tool: see 394.56.")


def test_no_connector_tells_the_nearest_misses_of_different_methods(printed: Any) -> None:
    given = {"joint": {"conductors": [{"size": "12 AWG", "count": 24}]}}
    answer = choose(given)
    assert answer["outcome"] == "no-connector"
    misses = re.findall(r"• (\S+): ", printed(given))
    refused = {refusal["connector"]: refusal for refusal in answer["refusals"]}
    assert len({refused[miss]["method"] for miss in misses}) == len(misses) == 3
    fewest = min(len(refusal["because"]) for refusal in answer["refusals"])
    assert len(refused[misses[0]]["because"]) == fewest


def test_a_place_taken_for_damp_by_default_says_why(printed: Any) -> None:
    assert "Out of doors no place stays dry" in words(printed({**THREE, "place": {"site": "outdoors"}}))


def test_no_default_is_listed_that_nothing_rests_on(printed: Any) -> None:
    assumed = next(line for line in printed(THREE).splitlines() if line.startswith("Assumed"))
    assert assumed.split(None, 1)[1] == "volts 120, solid, copper, ungrounded, box"


@pytest.mark.parametrize("width", [80, 120])
@pytest.mark.parametrize("outcome", ["options", "barred", "refer", "no-connector"])
def test_no_line_is_wider_than_the_screen(
    printed: Any, monkeypatch: pytest.MonkeyPatch, width: int, outcome: str
) -> None:
    monkeypatch.setattr(page, "PLAIN_WIDTH", width)
    given = {
        "options": THREE,
        "barred": {**THREE, "place": {"enclosure": "raceway"}},
        "refer": {**THREE, "circuit": {"kind": "service"}},
        "no-connector": {"joint": {"conductors": [{"size": "12 AWG", "count": 24}]}},
    }[outcome]
    assert choose(given)["outcome"] == outcome
    text = printed(given, Shown(everything=True))
    assert max(map(len, text.splitlines())) <= width
    assert "\x1b" not in text
