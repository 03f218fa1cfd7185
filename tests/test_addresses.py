"""Content addresses, for which kept answers have zeros: they hang on the question, the rules and the catalogue."""

from __future__ import annotations

import re
import shutil
from pathlib import Path
from typing import Any

import pytest

from splicewright import check_splice, plan_job, shipped
from splicewright.answering import Chooser

QUESTION = {"joint": {"conductors": [{"size": "12 AWG", "count": 2, "insulation": "THHN"}]}}
#: what is changed -> its file, and a text of it that stands for others like it
CHANGES = {"rules": ("nfpa70/environment.yaml", "    says: "), "catalogue": ("catalogues/shop.yaml", "    about: ")}


def addresses(chooser: Chooser, question: dict[str, Any]) -> list[str]:
    """Give the addresses of a choice, a check, a job and the job's joint."""
    job = plan_job({"joints": [question]}, chooser)
    found = [
        chooser.choose(question)["answer"],
        check_splice({**question, "proposal": {"connector": "lever-2-port"}}, chooser)["answer"],
        job["answer"],
        job["joints"][0]["answer"],
    ]
    assert all(re.fullmatch(r"sha256:[0-9a-f]{64}", one) for one in found)
    return found


@pytest.fixture(scope="module")
def standing() -> list[str]:
    return addresses(Chooser(), QUESTION)


def test_the_same_has_the_same_address_from_another_folder(standing: list[str], tmp_path: Path) -> None:
    folder = shutil.copytree(shipped.folder("rulesets"), tmp_path / "elsewhere")
    assert addresses(Chooser(folder), QUESTION) == standing


@pytest.mark.parametrize("what", CHANGES)
def test_other_rules_and_another_catalogue_give_other_addresses(what: str, standing: list[str], tmp_path: Path) -> None:
    folder = shutil.copytree(shipped.folder("rulesets"), tmp_path / "rulesets")
    name, text = CHANGES[what]
    path = folder / name
    path.write_text(path.read_text(encoding="utf-8").replace(text, f"{text}Here ", 1), encoding="utf-8")
    assert set(addresses(Chooser(folder), QUESTION)).isdisjoint(standing)


def test_another_question_has_other_addresses(standing: list[str]) -> None:
    assert set(addresses(Chooser(), {**QUESTION, "place": {"exposure": "damp"}})).isdisjoint(standing)


def test_a_choice_a_check_and_a_job_of_one_joint_are_told_apart(standing: list[str]) -> None:
    choice, check, job, joint = standing
    assert len({choice, check, job}) == 3
    assert joint == choice
