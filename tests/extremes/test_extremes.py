"""No word of a question switches a rule off unheard: each concern's extremes, crossed with every word of every leaf."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from splicewright import shipped
from splicewright.answering import Chooser, shipped_chooser
from splicewright.question.fact_kinds import CONDUCTOR_LEAVES, SINGLE_LEAVES
from splicewright.rulebook import load_rulebook
from tests.extremes.asking import Crossed, question, tell
from tests.extremes.extremes import bases, extremes
from tests.extremes.hearing import not_judged, unheard
from tests.extremes.kept import kept
from tests.extremes.running import Running
from tests.extremes.words import Word, leaves

SEED = 20
MOST = 320  # extremes a concern; about 250 suffice to meet every word
CONCERNS = tuple(dict.fromkeys(one.concern for one in extremes()))


@pytest.mark.slow
@pytest.mark.parametrize("concern", CONCERNS)
def test_every_word_is_heard_beside_every_concern_s_extremes(concern: str) -> None:
    running = Running(SEED, concern)
    faults = running.ask(MOST, until_met=True)
    assert not [f"{fault.extreme}: {fault.says}: {fault.question}" for fault in faults]
    assert running.unmet == []
    assert running.counts["twins that nothing bars"] > running.counts["asked"] // 4


@pytest.mark.slow
@pytest.mark.parametrize("extreme", extremes(), ids=str)
def test_every_extreme_is_heard_on_every_base(extreme) -> None:
    for name, base in bases().items():
        for patch, fails in ((extreme.absurd, unheard), (extreme.sound, not_judged)):
            told = tell(shipped_chooser(), question(base, patch, ()))
            assert told is not None, name
            assert fails(extreme, told) is None, (name, patch, told.outcome, told.judged.get(extreme.concern))


def test_every_shipped_concern_has_an_extreme() -> None:
    for code in ("nfpa70-2017", "nfpa70-2020", "nfpa70-2023"):
        assert {concern.id for concern in load_rulebook(code).concerns} == set(CONCERNS)


def test_every_base_is_sound_as_it_stands() -> None:
    outcomes = {name: tell(shipped_chooser(), question(base, {}, ())).outcome for name, base in bases().items()}
    assert set(outcomes.values()) == {"options"}, outcomes


def test_every_leaf_of_a_question_is_crossed() -> None:
    assert set(leaves()) == {*SINGLE_LEAVES, *CONDUCTOR_LEAVES, "conductor.circuit", "code"}
    assert all(len(words) > 1 for words in leaves().values())


def test_every_article_that_is_kept_is_told_by_some_edition() -> None:
    told: dict[str, set[str]] = {}
    for code in ("nfpa70-2017", "nfpa70-2020", "nfpa70-2023"):
        for concern in load_rulebook(code).concerns:
            cases = [rule.effect.case for rule in concern.rules]
            told.setdefault(concern.id, set()).update(case.article for case in cases if case and case.no_rule)
    assert {concern: set(articles) for concern, articles in kept().articles.items()} == {
        concern: articles for concern, articles in told.items() if articles
    }


def changed_rules(folder: Path, file: str, was: str, now: str) -> Chooser:
    """A chooser over the shipped rules with one place of one file changed."""
    rulesets = shutil.copytree(shipped.folder("rulesets"), folder / "rulesets")
    text = (rulesets / file).read_text()
    assert was in text
    (rulesets / file).write_text(text.replace(was, now, 1))
    return Chooser(rulesets, cache_bytes=0)


@pytest.mark.slow
def test_a_concern_that_no_longer_arises_is_found(tmp_path: Path) -> None:
    chooser = changed_rules(
        tmp_path,
        "concerns.yaml",
        "place: {enclosure: [box, conduit-body, luminaire,",
        "place: {reach: concealed, enclosure: [box, conduit-body, luminaire,",
    )
    faults = Running(SEED, "box-room", chooser).ask(8)
    assert {fault.says for fault in faults} >= {"sound, and not told of"}


@pytest.mark.slow
def test_a_bar_that_no_longer_bars_is_found_and_made_small(tmp_path: Path) -> None:
    bar = "joint: {roles: grounded}\n    bar: joint\n    says: Ungrounded"
    chooser = changed_rules(tmp_path, "nfpa70/grounding.yaml", bar, bar.replace("bar: joint", "caution: true"))
    fault = next(one for one in Running(SEED, "roles", chooser).ask(80) if one.extreme.name == "line with neutral")
    assert fault.says == "options, and told as judged"
    assert [conductor["role"] for conductor in fault.question["joint"]["conductors"]] == ["ungrounded", "grounded"]
    assert not fault.question.get("work")


@pytest.mark.slow
def test_an_option_that_is_not_listed_for_the_extreme_is_found(tmp_path: Path) -> None:
    demand = "demand: {sealed: true}"
    chooser = changed_rules(tmp_path, "nfpa70/environment.yaml", demand, "demand: {insulated: true}")
    assert "options, and told as judged" in {fault.says for fault in Running(SEED, "corrosion", chooser).ask(160)}


def test_a_word_may_be_said_of_one_conductor_only() -> None:
    crossed = Crossed(Word("conductor.size", "2 AWG"), every=False)
    made = question(bases()["branch"], {}, [crossed])["joint"]["conductors"]
    assert [(one["size"], one["count"]) for one in made] == [("12 AWG", 2), ("2 AWG", 1)]


def test_what_an_extreme_says_stands_over_the_words() -> None:
    crossed = Crossed(Word("circuit.kind", "class-2"))
    made = question(bases()["branch"], {"circuit": {"volts": 240}}, [crossed])
    assert (made["circuit"]["kind"], made["circuit"]["volts"]) == ("class-2", 240)
