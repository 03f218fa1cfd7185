"""What a project says stands where a question does not say it, and is told."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from splicewright.answering import Chooser
from splicewright.box import fill_box
from splicewright.faults import Faults
from splicewright.inspection import check_splice
from splicewright.job import plan_job
from splicewright.refusals import Refused
from tests.project.projects import NAMED, project

JOINT = {"conductors": [{"size": "14 AWG", "count": 3}]}
BY_PROJECT = {
    "/catalogue": {"value": "our-shelf", "from": "project"},
    "/code": {"value": "nfpa70-2020", "from": "project"},
    "/only": {"value": {"methods": ["lever"]}, "from": "project"},
}


@pytest.fixture(scope="module")
def chooser(tmp_path_factory: pytest.TempPathFactory) -> Chooser:
    return Chooser(project=project(tmp_path_factory.mktemp("project"), NAMED + 'only = { methods = ["lever"] }\n'))


def of_project(answer: dict[str, Any]) -> dict[str, Any]:
    return {at: one for at, one in answer["assumed"].items() if one["from"] == "project"}


def test_a_question_is_answered_by_it_and_told_so(chooser: Chooser) -> None:
    answer = chooser.choose({"joint": JOINT, "explain": "brief"})
    assert answer["catalogue"]["name"] == "our-shelf"
    assert answer["rulesets"]["code"] == "nfpa70-2020"
    assert {one["method"] for one in answer["options"]} == {"lever"}
    assert of_project(answer) == BY_PROJECT
    assert chooser.choose({"joint": JOINT})["assumed"].items() >= BY_PROJECT.items()


def test_its_own_word_is_stronger_leaf_by_leaf(chooser: Chooser) -> None:
    said = {"joint": JOINT, "catalogue": "shop", "code": "nfpa70-2023", "only": {"methods": []}, "explain": "brief"}
    answer = chooser.choose(said)
    assert (answer["catalogue"]["name"], answer["rulesets"]["code"]) == ("shop", "nfpa70-2023")
    assert "push-in" in {one["method"] for one in answer["options"]}
    assert of_project(answer) == {}
    (told,) = of_project(chooser.choose({**said, "only": {"connectors": ["lever-3-port", "push-in-3-port"]}}))
    assert told == "/only/methods"


def test_what_says_the_same_has_the_same_address(chooser: Chooser) -> None:
    said = {"catalogue": "our-shelf", "code": "nfpa70-2020", "only": {"methods": ["lever"]}}
    assert chooser.choose({"joint": JOINT})["answer"] == chooser.choose({"joint": JOINT, **said})["answer"]
    assert chooser.choose({"joint": JOINT})["answer"] != Chooser().choose({"joint": JOINT})["answer"]


def test_a_remedy_of_what_it_refuses_is_asked_by_it_too(chooser: Chooser) -> None:
    answer = chooser.choose({"joint": {"conductors": [{"size": "14 AWG", "count": 5}]}})
    assert answer["outcome"] == "no-connector"
    assert answer["remedies"]
    used = {one["connector"] for remedy in answer["remedies"] for one in remedy.get("options", ())}
    assert not any(one.startswith("push-in") for one in used)


def test_a_check_is_made_by_it(chooser: Chooser) -> None:
    found = check_splice({"joint": JOINT, "proposal": {"connector": "lever-3-port"}}, chooser)
    assert (found["catalogue"]["name"], of_project(found)) == ("our-shelf", BY_PROJECT)
    with pytest.raises(Refused, match="catalogue our-shelf has no such connector"):
        check_splice({"joint": JOINT, "proposal": {"connector": "push-in-5-port"}}, chooser)


def test_a_box_and_its_joints_are_decided_by_it(chooser: Chooser) -> None:
    wires = [{"size": "14 AWG", "count": 6}]
    found = fill_box({"wires": wires, "joints": [{"joint": JOINT}, {"joint": JOINT, "only": {"methods": []}}]}, chooser)
    assert (found["code"], of_project(found)) == ("nfpa70-2020", BY_PROJECT)
    first, second = found["joints"]
    assert first["catalogue"]["name"] == second["catalogue"]["name"] == "our-shelf"
    assert {one["method"] for one in first["options"]} == {"lever"} != {one["method"] for one in second["options"]}
    assert of_project(fill_box({"wires": wires}, chooser)) == BY_PROJECT


def test_a_job_is_planned_by_it(chooser: Chooser) -> None:
    joint = {"quantity": 2, "joint": JOINT}
    found = plan_job(
        {"joints": [joint], "boxes": [{"wires": [{"size": "14 AWG", "count": 3}], "joints": [{"joint": JOINT}]}]},
        chooser,
    )
    assert [one["connector"] for one in found["takeoff"]] == ["lever-3-port"]
    assert (found["catalogue"]["name"], of_project(found)) == ("our-shelf", BY_PROJECT)
    own = plan_job({"joints": [joint], "catalogue": "shop", "only": {"methods": ["push-in"]}}, chooser)
    assert (own["catalogue"]["name"], list(of_project(own))) == ("shop", ["/code"])


@pytest.mark.parametrize(
    ("text", "says"),
    [
        (
            'catalogue = "our-shlf"\ncatalogues = "shelf"',
            ":1: catalogue: \"our-shlf\" is not known; did you mean 'our-shelf'?",
        ),
        ('catalogue = "our-shelf"', ':1: catalogue: "our-shelf" is not known'),
        (NAMED + 'only = { connectors = ["lever-3-prt"] }', ':4: only/connectors/0: "lever-3-prt" is not known; did'),
    ],
)
def test_what_it_names_and_is_not_there_is_its_own_fault(tmp_path: Path, text: str, says: str) -> None:
    file = project(tmp_path, text)
    with pytest.raises(Faults) as raised:
        Chooser(project=file).choose({"joint": JOINT})
    assert str(raised.value).startswith(f"{file}{says}")


def test_a_catalogue_called_like_a_shipped_one_is_refused(tmp_path: Path) -> None:
    file = project(tmp_path, 'catalogues = "shelf"', name="shop")
    with pytest.raises(Faults, match=r":1: catalogues: .*shop\.yaml is called like one that is there already"):
        Chooser(project=file).choose({"joint": JOINT})


def test_connectors_that_another_catalogue_lacks_are_told_as_the_projects(tmp_path: Path) -> None:
    text = (project(tmp_path).parent / "shelf" / "our-shelf.yaml").read_text(encoding="utf-8")
    (tmp_path / "shelf" / "our-shelf.yaml").write_text(text.replace("id: lever-3-port", "id: our-lever"))
    asked = Chooser(project=project_with(tmp_path, NAMED + 'only = { connectors = ["our-lever"] }'))
    assert [one["connector"] for one in asked.choose({"joint": JOINT})["options"]] == ["our-lever"]
    with pytest.raises(Refused, match=r"splicewright\.toml keeps to what this catalogue lacks"):
        asked.choose({"joint": JOINT, "catalogue": "shop"})


def project_with(folder: Path, text: str) -> Path:
    file = folder / "splicewright.toml"
    file.write_text(text, encoding="utf-8")
    return file


def test_a_fault_of_a_catalogue_is_told_in_its_file(tmp_path: Path) -> None:
    file = project(tmp_path)
    (tmp_path / "shelf" / "our-shelf.yaml").write_text("catalogue: our-shelf\nnote: a\nconnectors: [{}]\n")
    with pytest.raises(Faults) as raised:
        Chooser(project=file).choose({"joint": JOINT})
    assert str(raised.value).startswith(f"{tmp_path / 'shelf' / 'our-shelf.yaml'}:3: ")


def test_a_catalogue_that_contradicts_itself_is_refused_with_its_line(tmp_path: Path) -> None:
    file = project(tmp_path)
    shelf = tmp_path / "shelf" / "our-shelf.yaml"
    lines = shelf.read_text(encoding="utf-8").splitlines()
    at = next(number for number, line in enumerate(lines) if line.strip().startswith("reusable: true"))
    lines.insert(at + 1, lines[at].replace("reusable", "irreversible"))
    shelf.write_text("\n".join(lines), encoding="utf-8")
    with pytest.raises(Faults, match=rf"our-shelf\.yaml:{at + 1}: .*reusable: is true beside irreversible"):
        Chooser(project=file).choose({"joint": JOINT})
