"""Content addresses, for which kept answers have zeros: they hang on the question, the rules and the catalogue."""

from __future__ import annotations

import re
import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import orjson
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
    assert joint == Chooser().choose({**QUESTION, "explain": "brief"})["answer"], "a joint is told as briefly"


#: Under these keys stands, at any depth, what belongs to the question as it was sent. All else an address covers.
OUTSIDE = {"id", "assumed", "read_as", "at", "asks", "patch"}
SPLIT = [{"size": "12 AWG", "insulation": "THHN"}, {"insulation": "THHN", "size": "12 AWG"}]
#: The same question, said otherwise.
SAID = {
    "an id": {"id": "other"},
    "a default": {"circuit": {"kind": "branch"}},
    "defaults": {"circuit": {"kind": "branch", "volts": 120}, "code": "nfpa70-2023", "catalogue": "shop"},
    "conductors one by one": {"joint": {"conductors": SPLIT}},
    "a size as people write it": {"joint": {"conductors": [{"size": "#12", "count": 2, "insulation": "THHN"}]}},
}
#: How much is told.
TOLD = [{}, {"limit": 1}, {"limit": 2}, {"explain": "brief"}, {"include": ["proofs"]}, {"explain": "brief", "limit": 1}]
BARRED = {"joint": {"conductors": [{"size": "12 AWG", "count": 2}]}, "place": {"enclosure": "raceway"}}


def within(value: Any) -> Any:
    """Give an answer without what its address does not cover."""
    if isinstance(value, dict):
        return {key: within(one) for key, one in value.items() if key not in OUTSIDE}
    return [within(one) for one in value] if isinstance(value, list) else value


def answers(question: dict[str, Any]) -> list[dict[str, Any]]:
    """Give the answers to a choice, a check, and a job of such joints with a plan."""
    chooser = Chooser()
    told = {key: question[key] for key in ("limit",) if key in question}
    plain = {key: value for key, value in question.items() if key not in ("limit", "explain", "include", "id")}
    laid = {key: plain.pop(key) for key in ("code", "catalogue") if key in plain}
    of_the_job = {key: question[key] for key in ("explain",) if key in question}
    job = {"joints": [{"id": "a", **plain}, {"id": "b", **BARRED}], "stock": {}, **laid, **of_the_job}
    check = {**plain, **laid, **told, "proposal": {"connector": "lever-2-port"}}
    return [orjson.loads(orjson.dumps(one)) for one in _asked(chooser, question, check, job)]


def _asked(chooser: Chooser, question: Any, check: Any, job: Any) -> Iterator[Any]:
    yield chooser.choose(question)
    yield check_splice(check, chooser)
    yield plan_job(job, chooser)


@pytest.mark.parametrize("said", SAID)
@pytest.mark.parametrize("asked", [QUESTION, {**BARRED, **QUESTION}], ids=["options", "barred"])
def test_answers_with_the_same_address_have_the_same_bytes_outside_the_closed_list(asked: Any, said: str) -> None:
    one, other = answers(asked), answers({**asked, **SAID[said]})
    for mine, its in zip(one, other, strict=True):
        assert mine["answer"] != its["answer"] or orjson.dumps(within(mine)) == orjson.dumps(within(its))
    assert one[0]["answer"] == other[0]["answer"], "a choice is the same however it is said"
    assert one[1]["answer"] == other[1]["answer"], "a check too"


def test_answers_that_tell_more_or_less_have_other_addresses() -> None:
    told = [Chooser().choose({**QUESTION, **one}) for one in TOLD]
    assert len({one["answer"] for one in told}) == len(TOLD)
    jobs = [plan_job({"joints": [QUESTION], **one}) for one in ({}, {"explain": "full"})]
    assert len({one["answer"] for one in jobs}) == len(jobs)
