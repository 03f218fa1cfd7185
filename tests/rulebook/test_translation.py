"""Translations: slots are carried over by the rule's own words, and what is not translated stays English."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest

from splicewright import shipped
from splicewright.answering import Chooser
from splicewright.choice.loaded_rules import LoadedRules
from splicewright.question.fact_kinds import fact_kinds
from splicewright.rulebook import Rule, RuleFiles
from splicewright.rulebook.concerns import concern_words
from splicewright.rulebook.examples import example_question
from splicewright.rulebook.lint import PLACES
from splicewright.rulebook.translation import LANGUAGES, Translation, translated, translation, translation_faults
from splicewright.tables.boxes import box_sentences

RULESETS = shipped.folder("rulesets")


@pytest.fixture(scope="module")
def rules() -> dict[str, Rule]:
    files = RuleFiles(RULESETS)
    return {rule.id: rule for code in files.codes.offered() for rule in files.rulebook(code).rules}


def folder(tmp_path: Path, text: str) -> Path:
    (tmp_path / "words").mkdir()
    (tmp_path / "words" / "es.yaml").write_text(text, encoding="utf-8")
    return tmp_path


def value(slot: str, at: int) -> str:
    kind = fact_kinds()[slot].kind
    return f"{at}/0 AWG" if kind in ("size", "volts", "amps", "length", "temperature") else f"w{at}"


@pytest.mark.parametrize("language", LANGUAGES)
def test_every_translated_sentence_takes_what_stood_in_the_english_slots(language: str, rules: dict[str, Rule]) -> None:
    words = translation(language)
    for name, told in words.rules.items():
        for key, text in told.items():
            own = rules[name].effect.do if key == "do" else rules[name].says
            assert own is not None
            filled = {slot: value(slot, at) for at, slot in enumerate(dict.fromkeys(PLACES.findall(own)))}
            said = PLACES.sub(lambda place, filled=filled: filled[place[1]], own)
            expected = PLACES.sub(lambda place, filled=filled: filled[place[1]], text)
            assert words.sentence(rules[name], said) == expected


def test_slots_are_found_in_what_rules_really_say(rules: dict[str, Rule]) -> None:
    words, holding, seen = translation("es"), Chooser().holding, 0
    for rule in rules.values():
        if rule.id not in words.rules or rule.effect.kind == "step" or not PLACES.search(rule.says):
            continue
        code = next(code for code in ("nfpa70-2023", "nfpa70-2020", "nfpa70-2017") if holds(rule, code, holding))
        for example in rule.fires[:3]:
            derived = holding.match(example_question(example, code).question).derived
            for finding in (*derived.cautions, *derived.joint_bars, *derived.referrals):
                if finding.rule.id == rule.id:
                    seen += 1
                    assert words.sentence(rule, finding.says) is not None
    assert seen > 60


def holds(rule: Rule, code: str, holding: LoadedRules) -> bool:
    return any(one.id == rule.id for one in holding.rulebook(code).rules)


def test_word_in_a_slot_is_translated_too(rules: dict[str, Rule]) -> None:
    rule = rules["overcurrent/load-above-what-its-device-may-be"]
    words = Translation("es", {rule.id: {"says": "{conductor.material} {conductor.size}"}}, {"aluminum": "aluminio"})
    values = {"{conductor.size}": "12 AWG", "{conductor.material}": "aluminum", "{conductor.device_limit}": "15 A"}
    said = rule.says.replace("{circuit.amps}", "18 A")
    for slot, value in values.items():
        said = said.replace(slot, value)
    assert words.sentence(rule, said) == "aluminio 12 AWG"


def test_sentence_that_is_not_the_rules_is_left(rules: dict[str, Rule]) -> None:
    rule = rules["make-up/close-lever"]
    assert translation("es").sentence(rule, "Open the lever.") is None
    assert translation("es").sentence(replace(rule, id="own/close"), rule.effect.do or "") is None


def test_slot_that_stands_twice_holds_the_same(rules: dict[str, Rule]) -> None:
    rule = replace(rules["make-up/close-lever"], says="{joint.largest} and {joint.largest}")
    words = Translation("es", {rule.id: {"says": "{joint.largest} dos veces"}}, {})
    assert words.sentence(rule, "8 AWG and 8 AWG") == "8 AWG dos veces"
    assert words.sentence(rule, "8 AWG and 6 AWG") is None


def test_sentence_that_may_be_read_in_two_ways_is_left(rules: dict[str, Rule]) -> None:
    rule = replace(rules["make-up/close-lever"], says="{circuit.serves}, {place.corrosion}")
    words = Translation("es", {rule.id: {"says": "{circuit.serves}; {place.corrosion}"}}, {})
    assert words.sentence(rule, "a, b") == "a; b"
    assert words.sentence(rule, "a, b, c") is None


def test_language_that_there_is_not_is_refused() -> None:
    with pytest.raises(KeyError):
        translation("fr")


def test_shipped_translations_have_no_fault_and_are_counted(rules: dict[str, Rule]) -> None:
    assert translation_faults(RULESETS, rules, concern_words()) == []
    (counted,) = translated(RULESETS, rules.values(), concern_words())
    (fewer,) = translated(RULESETS, list(rules.values())[:100], concern_words())
    assert counted.language == "es"
    assert fewer.of < counted.of < len(rules) + len(concern_words()) + len(box_sentences())


def test_what_crews_see_is_translated_but_for_what_came_last(rules: dict[str, Rule]) -> None:
    (counted,) = translated(RULESETS, rules.values(), concern_words())
    assert counted.done >= 0.99 * counted.of  # a sheet marks what stands in English only; a new rule may wait for it
    assert set(translation("es").concerns) == set(concern_words())
    assert len(box_sentences()) == 13


def test_sentence_of_no_rule_is_told_with_what_stood_in_its_slots() -> None:
    words = translation("es")
    assert words.standing("Clamps were not stated. One or more inside the box would ask for 2.25 in3 more.") == (
        "No se indicaron abrazaderas. Una o más dentro de la caja pedirían 2.25 in3 más."
    )
    assert words.standing("joint.conductors[2].insulation") == "el aislamiento del conductor 2"
    assert words.standing("Mind the dog.") is None


def test_each_sentence_about_a_box_is_found_again_once_it_is_filled() -> None:
    for sentence in box_sentences():
        said = PLACES.sub("4 x 12 AWG", sentence)
        told = translation("es").standing(said)
        assert told == PLACES.sub("4 x 12 AWG", translation("es").labels[sentence])


def test_every_step_is_translated(rules: dict[str, Rule]) -> None:
    steps = {rule.id for rule in rules.values() if rule.effect.kind == "step"}
    assert steps - {name for name, told in translation("es").rules.items() if "do" in told} == set()


def spanish_of(rules: dict[str, Rule]) -> Iterator[tuple[str, str, str]]:
    """Give the id of each rule that is translated, with each of its sentences in English and in Spanish."""
    for name, told in translation("es").rules.items():
        for key, text in told.items():
            yield name, str(rules[name].effect.do if key == "do" else rules[name].says), text


def test_lead_is_called_one_thing_in_spanish_and_no_terminal(rules: dict[str, Rule]) -> None:
    leads = {name: text for name, own, text in spanish_of(rules) if re.search(r"\bleads?\b", own, re.IGNORECASE)}
    assert len(leads) > 14
    assert {name for name, text in leads.items() if not re.search(r"conductor(es)? de conexión", text)} == set()


def test_terminal_in_spanish_is_a_terminal_or_a_lug(rules: dict[str, Rule]) -> None:
    terminals = [(name, own) for name, own, text in spanish_of(rules) if re.search(r"\bterminal(es)?\b", text)]
    assert len(terminals) > 7
    assert {name for name, own in terminals if not re.search(r"terminal|\blugs?\b", own)} == set()


def test_tug_is_a_pull_by_hand_in_spanish(rules: dict[str, Rule]) -> None:
    words = translation("es")
    assert words.label("tug") == "jalar para probar"
    said = words.rules["make-up/tug-each-conductor"]["do"]
    assert "jale a mano cada conductor por separado" in said
    assert words.sentence(rules["make-up/tug-each-conductor"], rules["make-up/tug-each-conductor"].effect.do or "")


@pytest.mark.parametrize(
    ("text", "line", "told"),
    [
        ("labels: {}\nrules:\n  make-up/close-levers: {do: Abra.}", 3, "did you mean 'make-up/close-lever'?"),
        ("labels: {}\nrules:\n  make-up/close-lever: {do: 'Abra {joint.largest}.'}", 3, "it has none"),
        ("labels: {}\nrules:\n  access/large-conductors-need-length: {says: Con.}", 3, "it has {joint.largest}"),
        ("labels: {}\nrules:\n  scope/hazardous-place: {do: Abra.}", 3, "the rule is no step"),
        ("labels:\n  'Box {name}': Caja\nrules: {}", 2, "it has {name}"),
        ("labels: {}\nrules:\n  make-up/close-lever: {dos: Abra.}", 3, "dos"),
        ("labels: {}\nrules: {}\nconcerns:\n  box-rooms: Si cabe.", 4, "did you mean 'box-room'?"),
        ("rules: {}", 1, "labels"),
        ("labels: [", 2, "not YAML"),
    ],
)
def test_fault_is_told_with_its_line(tmp_path: Path, rules: dict[str, Rule], text: str, line: int, told: str) -> None:
    (fault,) = translation_faults(folder(tmp_path, text), rules, concern_words())
    assert fault.file == "words/es.yaml"
    assert fault.line == line
    assert told in str(fault)


def test_folder_without_translations_is_asked_nothing(tmp_path: Path, rules: dict[str, Rule]) -> None:
    assert translation_faults(tmp_path, rules, ()) == []
    assert translated(tmp_path, rules.values(), ()) == ()
