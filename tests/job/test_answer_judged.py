"""A job tells of each concern for how many joints it was judged, and where the first word that is wanting belongs."""

from __future__ import annotations

import pytest

from splicewright import choose, plan_job
from splicewright.rulebook.concerns import concern_words
from tests.job.asking import BARRED, BOX, PAIR, THREE, job

SAID = {"amps": 8, "overcurrent_amps": 15, "continuous": False}
INSULATED = {"conductors": [{"size": "12 AWG", "count": 2, "insulation": "THHN"}]}


def told(answer, concern):
    """Give what a job tells of a concern: why it was not judged (None: it was), what to state, for how many joints."""
    found = (one for one in answer["judged"] if one["concern"] == concern)
    return [(one.get("why"), one.get("asks"), one["joint_count"]) for one in found]


def test_every_joint_counts_as_often_as_it_is_made():
    answer = job({"quantity": 7, "joint": PAIR, "circuit": SAID}, {"joint": THREE, "circuit": SAID})
    assert told(answer, "overcurrent") == [(None, None, 8)]


def test_each_joint_is_judged_as_it_is_alone():
    joint = {"joint": INSULATED, "circuit": {"amps": 8, "overcurrent_amps": 15}}
    alone = choose(joint)["judged"]
    moved = [{**one, "asks": "/joints/0" + one["asks"]} if "asks" in one else one for one in alone]
    assert job(joint)["judged"] == [{**one, "joint_count": 1} for one in moved]


def test_what_some_joints_lack_is_told_beside_what_was_judged_for_the_others():
    answer = job({"quantity": 2, "joint": PAIR, "circuit": SAID}, {"quantity": 3, "joint": PAIR})
    assert told(answer, "overcurrent") == [
        (None, None, 2),
        ("not-stated", "/joints/1/circuit/overcurrent_amps", 3),
    ]


def test_first_joint_that_lacks_the_word_is_pointed_to():
    joints = [{"joint": INSULATED, "circuit": SAID}, {"joint": PAIR}, {"joint": THREE}, {"joint": PAIR}]
    assert told(job(*joints), "continuous-load") == [
        (None, None, 1),
        ("not-stated", "/joints/1/circuit/continuous", 3),
    ]


def test_joints_that_ask_the_same_in_another_order_are_pointed_to_as_each_was_sent():
    bare, thhn = {"size": "12 AWG"}, {"size": "12 AWG", "insulation": "THHN"}
    pointers = []
    for first, second in ((bare, thhn), (thhn, bare)):
        joints = [{"joint": {"conductors": one}} for one in ([first, second], [second, first])]
        answer = job(*joints, defaults={"circuit": SAID})
        assert answer["joints"][0]["answer"] == answer["joints"][1]["answer"]
        pointers += told(answer, "ampacity")
    assert pointers == [
        ("not-stated", "/joints/0/joint/conductors/0/insulation", 2),
        ("not-stated", "/joints/0/joint/conductors/1/insulation", 2),
    ]


def test_a_joint_in_error_is_judged_for_nothing_and_a_barred_one_for_all_but_the_connector():
    answer = job({"joint": {"conductors": [{"size": "12"}]}}, {**BARRED, "quantity": 2, "circuit": SAID})
    assert told(answer, "access") == [(None, None, 2)]
    assert told(answer, "fill") == []


def test_concerns_stand_in_their_order():
    answer = job({"joint": PAIR}, {"joint": INSULATED, "circuit": SAID, "place": {"exposure": "buried"}})
    places = [list(concern_words()).index(one["concern"]) for one in answer["judged"]]
    assert places == sorted(places)


def test_what_a_joint_of_a_box_lacks_is_asked_for_where_the_box_says_such_things():
    answer = plan_job({"boxes": [in_box(circuit={"amps": 8})]})
    assert told(answer, "overcurrent") == [("not-stated", "/boxes/0/circuit/overcurrent_amps", 1)]


def in_box(**parts):
    return {**BOX, "joints": [{"joint": PAIR}], **parts}


def test_joints_of_boxes_are_pointed_to_in_their_box():
    answer = plan_job({"boxes": [in_box(circuit=SAID), in_box(quantity=4)]})
    assert told(answer, "overcurrent") == [
        (None, None, 1),
        ("not-stated", "/boxes/1/joints/0/circuit/overcurrent_amps", 4),
    ]


@pytest.mark.parametrize(
    ("wires", "box", "room"),
    [
        (BOX["wires"], BOX["box"], (None, None, 6)),
        (BOX["wires"], None, ("not-stated", "/boxes/0/box", 6)),
        ([{"size": "4 AWG"}, *BOX["wires"]], BOX["box"], ("no-rule", None, 6)),
    ],
)
def test_room_is_judged_for_joints_as_it_is_for_their_box(wires, box, room):
    known = {"box": box} if box else {}
    boxes = {"clamps": "none", "wires": wires, "quantity": 3, "joints": [{"joint": PAIR}, {"joint": PAIR}], **known}
    assert told(plan_job({"boxes": [boxes]}), "box-room") == [room]


def test_room_is_told_apart_for_alike_joints_in_a_box_and_without_one():
    unknown = {key: value for key, value in in_box().items() if key != "box"}
    place = {"enclosure": "box", "box_material": "metal"}
    answer = plan_job({"joints": [{"joint": PAIR, "place": place}], "boxes": [in_box(), {**unknown, "place": place}]})
    assert len({joint["answer"] for joint in answer["joints"]}) == 1
    assert told(answer, "box-room") == [
        ("not-stated", "/joints/0/place/room", 1),
        (None, None, 1),
        ("not-stated", "/boxes/1/box", 1),
    ]
