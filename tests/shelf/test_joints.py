"""Every joint of files of all kinds, like ones together; what is wrong is told with its line."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from splicewright.faults import Faults
from splicewright.shelf import joints as module
from splicewright.shelf.joints import joints_in, work_in
from tests.catalogue.making import catalogue, listing
from tests.shelf.files import joint, written

_BOX = {
    "wires": [{"size": "14 AWG", "count": 4}],
    "joints": [joint("14 AWG", 2), {"id": "in-box", **joint("14 AWG", 3)}],
}


def counts(*paths: str) -> list[tuple[int, int]]:
    return sorted((one.count, one.places) for one in joints_in(paths))


def test_like_joints_are_counted_together(tmp_path: Path) -> None:
    job = {"joints": [joint("14 AWG", 2, quantity=3), joint("14 AWG", 2, id="again"), joint("12 AWG", 2)]}
    assert counts(written(tmp_path, "job.json", job)) == [(1, 1), (4, 2)]


def test_joints_of_boxes_stand_for_every_box(tmp_path: Path) -> None:
    job = {"boxes": [{**_BOX, "quantity": 5}], "defaults": {"place": {"exposure": "damp"}}}
    assert counts(written(tmp_path, "job.json", job)) == [(5, 1), (5, 1)]
    (first, *_) = joints_in([str(tmp_path)])
    assert first.question.place.exposure == "damp"


@pytest.mark.parametrize(
    ("name", "value", "places"),
    [
        ("question.yaml", joint("14 AWG", 2), 1),
        ("check.yaml", {**joint("14 AWG", 2), "proposal": {"connector": "lever-2-port"}, "waive": []}, 1),
        ("box.yaml", _BOX, 2),
        ("several.yaml", [joint("14 AWG", 2), joint("12 AWG", 2)], 2),
    ],
)
def test_files_of_every_kind_are_read(tmp_path: Path, name: str, value: object, places: int) -> None:
    assert len(counts(written(tmp_path, name, value))) == places


@pytest.mark.parametrize("within", [lambda one: one, lambda one: {"joints": [{**one, "id": "a", "quantity": 2}]}])
def test_work_has_what_is_proposed_and_joints_alike_are_kept_apart_by_it(tmp_path: Path, within: Any) -> None:
    proposals = ({"method": "lever"}, {"method": "lever", "strip": "11 mm"}, {"method": "lever"})
    for at, proposal in enumerate(proposals):
        written(tmp_path, f"{at}.json", within({**joint("14 AWG", 2), "proposal": proposal}))
    written(tmp_path, "plain.json", joint("14 AWG", 2))
    (alike,) = joints_in([str(tmp_path)])
    assert (alike.places, alike.proposal) == (4, None)
    found = work_in([str(tmp_path)])
    assert [one.places for one in found] == [2, 1, 1]
    told = [one.proposal and one.proposal.to_dict() for one in found]
    assert told == [{"method": "lever"}, {"method": "lever", "strip": {"value": 11, "unit": "mm"}}, None]


def test_files_with_nothing_to_ask_are_refused(tmp_path: Path) -> None:
    with pytest.raises(Faults, match="no joint in these files"):
        work_in([str(tmp_path)])
    assert work_in([written(tmp_path, "box.yaml", {"wires": [{"size": "14 AWG", "count": 2}]})]) == []


def test_rows_of_a_table_are_read_with_their_numbers(tmp_path: Path) -> None:
    path = tmp_path / "joints.csv"
    path.write_text("box,id,quantity,size,count\nb1,one,6,12 AWG,2\n")
    assert counts(str(path)) == [(6, 1)]


@pytest.mark.parametrize(
    ("value", "says"),
    [
        ({"joints": [joint("14 AGW", 2)]}, "/joints/0/joint/conductors/0/size"),
        ({"joints": [], "boxes": [{**_BOX, "quantity": 0}]}, "/boxes/0/quantity"),
        ({"joints": [], "boxes": [{"wires": []}]}, "/boxes/0/wires"),
        ({"joints": [], "boxes": ["a box"]}, "a box is an object"),
        (joint("14 AWG", 0), "/joint/conductors/0/count"),
        ({**_BOX, "joints": [joint("14 AWG", 0)]}, "/joints/0/joint/conductors/0/count"),
    ],
)
def test_what_is_wrong_is_told_with_file_and_line(tmp_path: Path, value: object, says: str) -> None:
    path = written(tmp_path, "wrong.json", value)
    with pytest.raises(Faults) as refused:
        joints_in([path])
    assert says in str(refused.value)
    assert "wrong.json:" in str(refused.value)


def test_cell_that_is_wrong_is_told(tmp_path: Path) -> None:
    path = tmp_path / "joints.csv"
    path.write_text("id,size,count\none,12 AWG,two\n")
    with pytest.raises(Faults, match=r"joints.csv:2: count: .*not a number"):
        joints_in([str(path)])


@pytest.mark.parametrize("named", ["nowhere", catalogue(listing())])
def test_catalogue_that_a_file_names_or_has_is_not_asked_for(tmp_path: Path, named: object) -> None:
    job = {"joints": [joint("14 AWG", 2)], "boxes": [_BOX], "catalogue": named}
    assert len(counts(written(tmp_path, "job.json", job))) == 2


def test_file_that_is_not_there_is_told() -> None:
    with pytest.raises(Faults, match="no such file"):
        joints_in(["nowhere.yaml"])


def test_folder_without_a_joint_is_told(tmp_path: Path) -> None:
    (tmp_path / "other.yaml").write_text("nothing: here\n")
    with pytest.raises(Faults, match="no joint in these files"):
        joints_in([str(tmp_path)])


def test_too_many_different_joints_are_refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(module, "MOST_KINDS", 1)
    with pytest.raises(Faults, match="more than 1 different"):
        joints_in([written(tmp_path, "job.json", {"joints": [joint("14 AWG", 2), joint("12 AWG", 2)]})])
