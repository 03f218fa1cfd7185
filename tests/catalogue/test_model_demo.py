"""A catalogue whose connectors are invented says so, in every answer that comes from it."""

from __future__ import annotations

from pathlib import Path

import pytest

from splicewright.answering import Chooser
from splicewright.catalogue import load_catalogue, parse_catalogue
from splicewright.job import plan_job
from splicewright.refusals import Refused
from tests.api.small import small_rulesets
from tests.project.projects import catalogue_text

QUESTION = {"joint": {"conductors": [{"size": "12 AWG", "count": 2}]}, "explain": "brief"}


def test_the_shipped_one_is_marked_in_answers_and_lists() -> None:
    assert Chooser().choose(QUESTION)["catalogue"] == {"name": "shop", "demo": True}
    assert plan_job({"joints": [{"joint": QUESTION["joint"]}]})["catalogue"]["demo"] is True
    shop = load_catalogue("shop")
    assert shop.heading()["demo"] is shop.to_dict()["demo"] is True


def test_one_of_ones_own_is_not(tmp_path: Path) -> None:
    ours = parse_catalogue(catalogue_text("ours"), "ours.yaml")
    assert "demo" not in ours.heading()
    marked = parse_catalogue("demo: true\n" + catalogue_text("ours"), "ours.yaml")
    assert marked.digest != ours.digest
    assert parse_catalogue("demo: false\n" + catalogue_text("ours"), "ours.yaml").digest == ours.digest
    folder = small_rulesets(tmp_path / "rulesets")
    assert Chooser(folder).choose({**QUESTION, "catalogue": "shop"})["catalogue"] == {"name": "shop"}


def without_demo(folder: Path, *names: str) -> Chooser:
    rulesets = small_rulesets(folder / "rulesets")
    for file in (rulesets / "catalogues").iterdir():
        file.unlink()
    for name in names:
        (rulesets / "catalogues" / f"{name}.yaml").write_text(catalogue_text(name), encoding="utf-8")
    return Chooser(rulesets)


def test_the_only_one_there_is_stands_for_a_question_that_names_none(tmp_path: Path) -> None:
    answer = without_demo(tmp_path, "ours").choose(QUESTION)
    assert answer["catalogue"] == {"name": "ours"}
    assert answer["assumed"]["/catalogue"] == {"value": "ours", "from": "default"}


def test_of_several_one_has_to_be_named(tmp_path: Path) -> None:
    chooser = without_demo(tmp_path, "ours", "theirs")
    chooser.warm_up()
    with pytest.raises(Refused) as raised:
        chooser.choose(QUESTION)
    (problem,) = raised.value.problems
    assert problem.to_dict() == {
        "pointer": "/catalogue",
        "says": "is required: no catalogue stands for it here; name one of: ours, theirs",
        "code": "missing",
        "allowed": ["ours", "theirs"],
    }
    assert chooser.choose({**QUESTION, "catalogue": "theirs"})["catalogue"] == {"name": "theirs"}
    with pytest.raises(Refused, match="is required"):
        plan_job({"joints": [{"joint": QUESTION["joint"]}]}, chooser)


def test_where_there_is_none_that_is_told(tmp_path: Path) -> None:
    with pytest.raises(Refused, match="no catalogue stands for it here; and there is none"):
        without_demo(tmp_path).choose(QUESTION)
