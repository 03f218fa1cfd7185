"""What is kept of a catalogue: it is bounded, goes with its catalogue, and changes no answer."""

from __future__ import annotations

import itertools
from typing import Any

import orjson
import pytest

from splicewright import shipped
from splicewright.answering import Chooser
from splicewright.answering.answer_json import OptionTexts
from splicewright.choice.matching import Match, rank
from splicewright.question.answer_vocabulary import INCLUDE
from splicewright.question.model import Question
from splicewright.question.read import read_question
from splicewright.rulebook.effects import STRENGTHS
from tests.bench.questions import distinct


def with_options(count: int) -> list[tuple[Question, Match]]:
    """Give questions that have options, with their matches."""
    holding = Chooser(cache_bytes=0).holding
    asked = (read_question(given).question for given in distinct(3))
    matched = ((question, holding.match(question)) for question in asked)
    return list(itertools.islice((one for one in matched if one[1].options), count))


@pytest.fixture(scope="module")
def matched() -> list[tuple[Question, Match]]:
    return with_options(12)


def whole(chooser: Chooser, question: Question) -> dict[str, Any]:
    return chooser.choose(orjson.loads(question.canonical()))


def test_an_option_is_written_the_same_alone_and_within_its_answer(matched: list[tuple[Question, Match]]) -> None:
    chooser = Chooser(cache_bytes=0)
    for question, match in matched:
        expected = [
            orjson.loads(OptionTexts(match, INCLUDE).option(option, at))
            for at, option in enumerate(match.options[:3], start=1)
        ]
        assert whole(chooser, question)["options"] == expected


def test_refusals_are_written_as_they_are_given(matched: list[tuple[Question, Match]]) -> None:
    chooser = Chooser(cache_bytes=0)
    for question, match in (*matched, *matched):  # written the first time, remembered the second
        expected = [
            {
                "connector": refusal.connector.id,
                "method": refusal.connector.method,
                "because": [{"rule": reason.rule, "says": reason.whole} for reason in refusal.because],
            }
            for refusal in match.refusals(chooser.holding.rules(question.code).fill_words)
        ]
        assert whole(chooser, question)["refusals"] == expected


def test_what_is_kept_of_a_catalogue_is_bounded_and_changes_no_answer(
    matched: list[tuple[Question, Match]], monkeypatch: pytest.MonkeyPatch
) -> None:
    plain = Chooser(cache_bytes=0)
    expected = [whole(plain, question) for question, _ in matched]
    for name, most in (("MADE", 0), ("REFUSALS", 0), ("OPTIONS", 3)):
        monkeypatch.setattr(f"splicewright.catalogue.connector_index.REMEMBERED_{name}", most)
    chooser = Chooser(cache_bytes=0)
    assert [whole(chooser, question) for question, _ in (*matched, *matched)] == [*expected, *expected]
    index = chooser.holding.index("shop")
    assert (len(index.kept) <= 2, len(index.refusals) <= 2, len(index.options) <= 3) == (True, True, True)


def test_two_catalogues_keep_nothing_of_each_other(tmp_path: Any) -> None:
    question = {"joint": {"conductors": [{"size": "12 AWG", "count": 2}]}}
    chooser = Chooser(cache_bytes=0)
    before = chooser.choose(question)
    folder = tmp_path / "rulesets"
    folder.mkdir()
    for part in shipped.folder("rulesets").iterdir():
        if part.name != "catalogues":
            (folder / part.name).symlink_to(part)
    (folder / "catalogues").mkdir()
    text = (shipped.folder("rulesets") / "catalogues" / "shop.yaml").read_text(encoding="utf-8")
    (folder / "catalogues" / "shop.yaml").write_text(text.replace("600 V", "599 V"), encoding="utf-8")
    other = Chooser(folder, cache_bytes=0).choose(question)
    assert "volts: 599 V" in orjson.dumps(other).decode()
    assert "volts: 600 V" not in orjson.dumps(other["options"]).decode()
    assert chooser.choose(question) == before


def test_one_stronger_preference_outweighs_all_weaker_ones(matched: list[tuple[Question, Match]]) -> None:
    """The order is that of the counts of each strength, the strongest first."""

    def counted(option: Any) -> tuple[Any, ...]:
        strengths = [one.rule.effect.strength for one in option.preferred]
        counts = [-strengths.count(one) for one in STRENGTHS]
        return (option.fill.basis != "listed", *counts, option.connector.id)

    for _, match in matched:
        assert sorted(match.options, key=rank) == sorted(match.options, key=counted)
