"""Joints that nothing on a shelf takes, with what comes nearest and what one more type would cover."""

from __future__ import annotations

from pathlib import Path

import pytest

from splicewright.catalogue import load_catalogue
from splicewright.choice.telling import Reason
from splicewright.job import plan_job
from splicewright.shelf import gaps as module
from splicewright.shelf.evaluation import Shelf
from splicewright.shelf.gaps import Gaps, find_gaps
from splicewright.shelf.joints import joints_in
from splicewright.yaml_text import read_yaml
from tests.catalogue.making import combinations, listing
from tests.scratch import ROOT
from tests.shelf.files import chooser, held, job, joint

_SOUND = {"volts": "600 V", "degrees": "90 degC", "insulated": True}
_SMALL = listing(id="small", takes=[combinations({"14 AWG": "2 to 3"})], **_SOUND)
_LARGE = listing(id="large", takes=[combinations({"10 AWG": "2 to 6"})], **_SOUND)


def gaps(tmp_path: Path, *joints: dict[str, object]) -> Gaps:
    return find_gaps(*held(job(tmp_path, *joints), _SMALL, _LARGE))


def test_joint_that_something_takes_is_no_gap(tmp_path: Path) -> None:
    found = gaps(tmp_path, joint("14 AWG", 2, quantity=7))
    assert (found.joints, found.covered, found.gaps) == (7, 7, ())


def test_gap_is_told_with_its_number_and_the_nearest_first(tmp_path: Path) -> None:
    found = gaps(tmp_path, joint("14 AWG", 4, quantity=5, id="four"), joint("14 AWG", 3))
    (told,) = found.to_dict()["gaps"]
    assert (told["joint"], told["quantity"], told["conductors"]) == ("four", 5, "4 x 14 AWG")
    assert told["nearest"][0]["connector"] == "small"
    assert "4 conductors; at most 3 are listed" in told["nearest"][0]["because"][0]["says"]
    assert found.open == 5


def test_one_more_type_covers_all_gaps_that_lack_the_same(tmp_path: Path) -> None:
    found = gaps(tmp_path, joint("14 AWG", 4, quantity=5), joint("14 AWG", 5, quantity=2), joint("8 AWG", 2))
    first = found.one_more[0]
    assert (first.connector, first.joints, set(first.takes)) == ("small", 7, {"4 x 14 AWG", "5 x 14 AWG"})


def test_type_of_another_catalogue_that_takes_a_gap_is_told(tmp_path: Path) -> None:
    shelf, joints = held(job(tmp_path, joint("14 AWG", 4)), _SMALL)
    told = find_gaps(shelf, joints, Shelf(load_catalogue("shop"), chooser())).of_others
    assert "twist-on-medium" in {one.connector for one in told} or len(told) == 3
    assert all(one.joints == 1 and not one.lacks for one in told)


def test_joint_that_no_connector_would_help_is_no_gap(tmp_path: Path) -> None:
    found = gaps(tmp_path, joint("14 AWG", 2, circuit={"volts": 2000}))
    assert (found.gaps, [one.outcome for one in found.outside]) == ((), ["refer"])


def test_gaps_beyond_what_is_searched_are_told_as_such(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(module, "MOST_SEARCHED", 1)
    found = gaps(tmp_path, joint("14 AWG", 4), joint("14 AWG", 5))
    assert found.unsearched == 1
    assert sorted(len(gap.misses) for gap in found.gaps) == [0, 2]


def test_gaps_are_the_problems_of_a_job_without_a_connector() -> None:
    path = ROOT / "openapi" / "examples" / "boathouse-job.yaml"
    problems = plan_job(read_yaml(path.read_bytes()).value, chooser())["problems"]
    shelf = Shelf(load_catalogue("shop"), chooser())
    found = find_gaps(shelf, shelf.hold(joints_in([str(path)])))
    without = [one for one in problems if one["outcome"] == "no-connector"]
    assert {gap.held.joint.name for gap in found.gaps} == {one["id"] for one in without}
    assert found.open == sum(one.get("quantity", 1) for one in without)


def test_reasons_are_those_of_an_answer(tmp_path: Path) -> None:
    shelf, (one,) = held(job(tmp_path, joint("14 AWG", 4)), _SMALL)
    (reason,) = shelf.because(one)["small"]
    assert isinstance(reason, Reason)
    assert reason.rule.startswith("connector-fill/")
