"""Sheets in Spanish: the English stands beneath, what is not translated is English, and each says who reviewed it."""

from __future__ import annotations

import re
from collections.abc import Iterator
from itertools import chain
from pathlib import Path
from typing import Any

import pytest

import splicewright
from splicewright import shipped
from splicewright.answering import Chooser
from splicewright.box.schema import BoxSchema
from splicewright.box.wiring import SENTENCES
from splicewright.inspection.schema import CheckSchema
from splicewright.job.schema import JobBoxSchema, JobJointSchema, JobSchema
from splicewright.nearest_word import Spoken
from splicewright.question.read import read_question
from splicewright.question.read_as import fields_in
from splicewright.question.vocabulary import METHODS, PHASES
from splicewright.reports.sheet_words import Told, TranslatedWords, words_in
from splicewright.reports.words import TOOLS, defaults_that_matter
from splicewright.reports.work_sheet import FIGURES, PRICES, _read_as, work_sheet
from splicewright.reports.work_sheet_pages import SheetPage
from splicewright.reports.work_sheet_sources import Source, of_question
from splicewright.rulebook.attributes import ATTRIBUTES
from splicewright.rulebook.translation import translation
from splicewright.strict_schema import made_once
from splicewright.yaml_text import read_yaml
from tests.question.leaves import every
from tests.reports.test_work_sheet import box_source, example, job_source
from tests.reports.test_work_sheet import chooser as chooser  # noqa: PLC0414 - a fixture

VALUES = ("yes", "no")
WORDS = ("word", "words")
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


def words_of_leaves() -> Iterator[str]:
    """Give each word that any leaf of a question, check, box or job may have, but for types as marked: `THWN-2`."""
    asked = chain.from_iterable(
        fields_in(made_once(schema)) for schema in (CheckSchema, BoxSchema, JobSchema, JobJointSchema, JobBoxSchema)
    )
    for pointer, field in asked:
        told = pointer.rpartition("/")[2] not in ("code", "explain", "include", "unit", "name")
        for word in getattr(field, "words", ()) if told else ():
            if word != word.upper():
                yield word


def test_every_label_and_word_is_translated() -> None:
    known = translation("es").labels
    words = {
        *labels(),
        *SENTENCES,
        *words_of_leaves(),
        *(name.rpartition(".")[2].replace("_", " ") for name, leaf in every().items() if leaf.field.kind not in WORDS),
        *VALUES,
        *FIGURES.values(),
        *PRICES.values(),
        *PHASES,
        *METHODS,
        *(TOOLS.get(tool, tool) for tool in ATTRIBUTES["tool"].words),
    }
    assert len(words) > 250
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


def test_what_was_read_in_other_words_is_told_in_spanish() -> None:
    known = translation("es").labels
    told = 0
    for leaf in every().values():
        words = getattr(leaf.field, "words", ())
        for said, word in words.said.items() if isinstance(words, Spoken) else ():
            if word in words:
                sent_as = [{"sent": said, "taken": taken} for taken in (word, [word, word])]
                page = SheetPage("one", 1, [], sent_as=sent_as)
                spanish = word if word == word.upper() else known[word]
                assert list(_read_as(page, words_in("es", tuple))) == [
                    f"“{said}” como {spanish}",
                    f"“{said}” como {spanish}, {spanish}",
                ]
                told += 1
    assert told > 150


def test_what_does_not_go_together_in_a_box_is_told_in_both(chooser: Chooser) -> None:
    joint = {"joint": {"conductors": [{"size": "18 AWG", "count": 2}]}}
    box = {"box": {"volume": {"value": 18, "unit": "in3"}}, "wires": [{"size": "12 AWG", "count": 2}]}
    source = box_source({**box, "joints": [joint]}, chooser)
    sheet = work_sheet(source, words_in("es", source.rules)).decode()
    assert "wires: los empalmes toman 2 puntas de 18 AWG, pero los cables de la caja tienen 0; indique" in sheet
    assert "wires: the joints take 2 ends of 18 AWG, but the wires of the box have 0; list every" in sheet
    assert [told for told in re.findall(r'<span lang="en">(.*?)</span>', sheet) if "joints take" in told] == []


def test_label_of_a_circuit_that_was_assumed_is_told_with_its_conductors() -> None:
    assumed = {
        f"/joint/conductors/{at}/{leaf}": {"from": "default", "value": value}
        for at in (1, 10)
        for leaf, value in (("circuit", "A"), ("role", "ungrounded"))
    }
    both = defaults_that_matter(assumed)
    assert [one.told() for one in both] == ["circuit A (conductors 2, 11)", "ungrounded"]
    spanish = words_in("es", tuple)
    assert both[0].told(spanish.say) == "circuito A (conductores 2, 11)"
    one = defaults_that_matter({"/joint/conductors/1/circuit": {"from": "default", "value": "A"}})
    assert [only.told() for only in one] == ["circuit A (conductor 2)"]
    assert one[0].told(spanish.say) == "circuito A (conductor 2)"
