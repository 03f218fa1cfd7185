"""Boxes of a job: their fill, their joints in the takeoff, and what stays in them."""

from __future__ import annotations

import pytest

from splicewright import fill_box, plan_job
from tests.job.asking import BOX, PAIR, THREE, takeoff


def boxes(*some, **more):
    return plan_job({"boxes": list(some), **more})


def test_joints_of_a_box_count_as_often_as_the_box_stands():
    one = boxes({**BOX, "joints": [{"joint": PAIR}]})
    many = boxes({**BOX, "quantity": 7, "joints": [{"joint": PAIR}]})
    (connector,) = takeoff(one)
    assert takeoff(many) == {connector: (7, 0)}
    assert many["counts"]["joints"] == 7


def test_a_box_is_filled_as_it_is_alone():
    alone = fill_box(BOX)
    found = boxes({"id": "b", "quantity": 2, **BOX})["boxes"][0]
    assert {key: found[key] for key in ("fits", "required", "volume", "left")} == {
        key: alone[key] for key in ("fits", "required", "volume", "left")
    }


def test_a_box_that_is_too_small_is_a_problem_that_names_larger_ones():
    small = {**BOX, "box": {"name": "3 x 2 x 1-1/2 device"}}
    (problem,) = boxes({"id": "small", **small})["problems"]
    assert (problem["outcome"], problem["id"]) == ("box-too-small", "small")
    assert [one["name"] for one in problem["smallest"]] == [one["name"] for one in fill_box(small)["smallest"][:3]]


def test_a_box_that_contradicts_itself_is_a_problem_with_pointers_into_the_request():
    answer = boxes(BOX, {**BOX, "joints": [{"joint": {"conductors": [{"size": "14 AWG", "count": 2}]}}]})
    (problem,) = answer["problems"]
    assert problem["outcome"] == "box-contradicts"
    assert problem["because"][0]["pointer"] == "/boxes/1/wires"


def test_what_has_no_volume_is_a_problem():
    (problem,) = boxes({"wires": [{"size": "4 AWG", "count": 2}]})["problems"]
    assert problem["outcome"] == "box-not-judged"


@pytest.mark.parametrize(
    ("box", "pointer", "says"),
    [
        (3, "/boxes/1", "a box is an object"),
        ({}, "/boxes/1/wires", "is required"),
        ({**BOX, "quantity": 0}, "/boxes/1/quantity", "1 to 1000000"),
        ({**BOX, "code": "nfpa70-2017"}, "/boxes/1/code", "unknown key"),
        ({**BOX, "claps": "none"}, "/boxes/1/claps", "did you mean 'clamps'?"),
        ({**BOX, "id": "first"}, "/boxes/1/id", "stands already at /boxes/0"),
        ({**BOX, "joints": [{"joint": 1}]}, "/boxes/1/joints/0/joint", "must be an object"),
        ({**BOX, "joints": [{"joint": PAIR, "catalogue": "own"}]}, "/boxes/1/joints/0/catalogue", "not known"),
    ],
)
def test_a_bad_box_or_joint_in_it_tells_its_errors_and_spoils_no_other(box, pointer, says):
    answer = boxes({"id": "first", **BOX, "joints": [{"joint": PAIR}]}, box)
    found = {error["pointer"]: error["says"] for problem in answer["problems"] for error in problem.get("errors", ())}
    assert says in found[pointer]
    assert answer["counts"]["made"] == 1


def test_box_fill_that_is_not_entered_for_the_code_points_at_the_jobs_code(monkeypatch):
    monkeypatch.setattr("splicewright.box.read.boxes_hold_for", lambda _code: False)
    (problem,) = boxes(BOX)["problems"]
    assert problem["errors"][0]["pointer"] == "/code"


def test_a_job_wide_enclosure_is_for_joints_outside_boxes():
    answer = plan_job(
        {
            "defaults": {"place": {"enclosure": "luminaire", "box_material": "nonmetallic", "exposure": "damp"}},
            "joints": [{"joint": PAIR}],
            "boxes": [{**BOX, "joints": [{"joint": PAIR}]}],
        }
    )
    assert answer["problems"] == []
    assert "/place/exposure" not in answer["assumed_in_joints"]


def test_joints_in_boxes_are_called_by_the_box_and_their_own_id():
    answer = boxes({"id": "kitchen", **BOX, "joints": [{"id": "hot", "joint": PAIR}, {"joint": PAIR}]}, explain="full")
    assert answer["cautions"][0]["joints"] == ["kitchen/hot", "kitchen/1"]


def test_ids_may_be_the_same_in_different_boxes():
    joint = {"id": "hot", "joint": PAIR}
    assert boxes({"id": "a", **BOX, "joints": [joint]}, {"id": "b", **BOX, "joints": [joint]})["problems"] == []


def test_what_stays_is_counted_in_the_metal_of_the_joints():
    aluminum = {"conductors": [{"size": "12 AWG", "count": 2, "material": "aluminum"}]}
    answer = boxes({"quantity": 3, **BOX, "joints": [{"joint": aluminum}]})
    (tail,) = answer["pigtails_and_jumpers"]
    assert (tail["kind"], tail["material"], tail["count"]) == ("pigtail", "aluminum", 3)


def test_the_metal_of_what_stays_is_assumed_where_no_joint_tells_it():
    answer = boxes(BOX)
    assert answer["pigtails_and_jumpers"][0]["material"] == "copper"
    copper = {"value": "copper", "from": "default", "box_count": 1}
    assert answer["assumed_in_boxes"]["/wires/*/material"] == [copper]


def test_box_cautions_are_told_once():
    answer = boxes(BOX, {**BOX, "quantity": 4, "joints": [{"joint": THREE}]})
    says = [caution["says"] for caution in answer["box_cautions"]]
    assert len(says) == len(set(says))
    assert max(caution["box_count"] for caution in answer["box_cautions"]) == 5


@pytest.mark.parametrize("wrong", [{"quantity": 0}, {"id": "first"}])
def test_a_box_that_is_not_read_is_counted_nowhere(wrong):
    told = ("box_cautions", "assumed_in_boxes", "pigtails_and_jumpers")
    first, other = {"id": "first", **BOX}, {"wires": [{"size": "10 AWG", "path": "stays"}]}
    alone, beside = boxes(first), boxes(first, {**other, **wrong})
    assert [beside[key] for key in told] == [alone[key] for key in told]
