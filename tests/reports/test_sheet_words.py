"""Sheets in Spanish: the English stands beneath, what is not translated is English, and each says who reviewed it."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

import splicewright
from splicewright import shipped
from splicewright.answering import Chooser
from splicewright.question.read import read_question
from splicewright.question.vocabulary import CONSTRUCTION, MATERIAL, PHASES, ROLE
from splicewright.reports.sheet_words import Told, TranslatedWords, words_in
from splicewright.reports.work_sheet import FIGURES, PRICES, work_sheet
from splicewright.reports.work_sheet_sources import Source, of_question
from splicewright.rulebook.translation import translation
from splicewright.yaml_text import read_yaml
from tests.reports.test_work_sheet import chooser as chooser  # noqa: PLC0414 - a fixture
from tests.reports.test_work_sheet import example, job_source

SAID = re.compile(r'(?:say|cell)\("((?:[^"\\]|\\.)*)"')


@pytest.fixture(scope="module")
def sheets(chooser: Chooser) -> dict[str, str]:
    source = job_source(example("job"), chooser)
    return {language: work_sheet(source, words_in(language, source.rules)).decode() for language in ("en", "es")}


def labels() -> Iterator[str]:
    """Give each label that is written in the sheet and the drawings."""
    service = Path(splicewright.__file__).parent
    for path in [*(service / "drawing").glob("*.py"), *(service / "reports").glob("work_sheet*")]:
        yield from SAID.findall(path.read_text(encoding="utf-8"))


def test_every_label_and_word_is_translated(chooser: Chooser) -> None:
    known = translation("es").labels
    connectors = chooser.catalogue("shop").connectors
    words = {
        *labels(),
        *FIGURES.values(),
        *PRICES.values(),
        *MATERIAL,
        *CONSTRUCTION,
        *ROLE,
        *PHASES,
        *(connector.method for connector in connectors),
    }
    assert len(words) > 100
    assert {word for word in words if word not in known} == set()


def test_spanish_sheet_says_so_and_who_did_not_review_it(sheets: dict[str, str]) -> None:
    pages = sheets["es"].split('<section class="sheet')[1:-1]
    assert '<html lang="es">' in sheets["es"]
    assert [page.count("no fue traducida ni revisada por un electricista con licencia") for page in pages] == [1, 1, 1]
    assert "reviewed by none who speaks Spanish" not in sheets["en"]


def test_english_stands_beneath_each_step(sheets: dict[str, str]) -> None:
    steps = re.findall(r"<li><label>.*?</label></li>", sheets["es"])
    assert len(steps) > 50
    english = 'class="english" lang="en">Lock each disconnect open, hang your tag on it and keep the key.</span>'
    assert sum(english in step for step in steps) == 3
    assert all('lang="en"' in step for step in steps)


def test_same_figures_stand_on_both(sheets: dict[str, str]) -> None:
    strips = {language: re.findall(r"[0-9/ ]+ in [(][0-9]+ mm[)]", sheet) for language, sheet in sheets.items()}
    assert len(strips["en"]) > 20
    assert strips["en"] == strips["es"]


def test_what_is_not_translated_is_english_and_marked_so(chooser: Chooser) -> None:
    rules = chooser.holding.rules("nfpa70-2023").rulebook.rules
    words = TranslatedWords(translation("es"), rules)
    assert words.sentence("own/rule", "Say so.") == Told("", "Say so.")
    assert words.sentence("make-up/close-lever", "Say so.") == Told("", "Say so.")
    assert words.standing("Say so.") == Told("", "Say so.")
    assert words.say("Say so.") == "Say so."


def test_rule_of_an_amendment_is_told_in_english(chooser: Chooser) -> None:
    question = {"amendments": ["house-rules"], "joint": {"conductors": [{"size": "12 AWG", "count": 2}]}}
    source: Source = of_question("file", read_question(question), chooser)
    assert {rule.amendment for rule in source.rules()} == {None, "house-rules"}


def test_bar_is_told_in_both(chooser: Chooser) -> None:
    bad: dict[str, Any] = {"joint": {"conductors": [{"size": "12 AWG"}, {"size": "12 AWG", "role": "grounded"}]}}
    source = of_question("file", read_question(bad), chooser)
    sheet = work_sheet(source, words_in("es", source.rules)).decode()
    assert "son un cortocircuito" in sheet
    assert "are a short circuit" in sheet


@pytest.mark.parametrize("name", ["job", "luminaire"])
def test_example_sheet_has_no_sentence_in_english_alone(chooser: Chooser, name: str) -> None:
    given = example(name)
    source = job_source(given, chooser) if name == "job" else of_question("file", read_question(given), chooser)
    sheet = work_sheet(source, words_in("es", source.rules)).decode()
    assert re.findall(r'<span lang="en">(.*?)</span>', sheet) == []
    assert "si van juntos más de tres conductores con corriente" in sheet


def test_what_is_so_of_a_connector_stands_after_its_reason(chooser: Chooser) -> None:
    words = TranslatedWords(translation("es"), chooser.holding.rules("nfpa70-2023").rulebook.rules)
    told = words.sentence(
        "environment/wet-asks-wet-listing",
        "In a wet place the connector is one listed for wet locations. Here: places: dry.",
    )
    assert told.text.endswith("listado para lugares mojados. Aquí: places: dry.")


def test_rulesets_are_read_as_they_are() -> None:
    value = read_yaml((shipped.folder("rulesets") / "words" / "es.yaml").read_bytes()).value
    assert set(value) == {"labels", "concerns", "rules"}
