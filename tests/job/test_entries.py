"""Joints of a job: what is laid under them, what is wrong with them, what they are called."""

from __future__ import annotations

import pytest

from splicewright import choose
from tests.job.asking import BARRED, PAIR, THREE, job


def errors(*joints, **more):
    return {
        error["pointer"]: error["says"]
        for problem in job(*joints, **more)["problems"]
        for error in problem.get("errors", ())
    }


@pytest.mark.parametrize(
    ("joint", "pointer", "says"),
    [
        (3, "/joints/1", "a joint is an object"),
        (None, "/joints/1", "a joint is an object"),
        ({}, "/joints/1/joint", "is required"),
        ({"joint": PAIR, "quantity": 0}, "/joints/1/quantity", "1 to 1000000 is allowed"),
        ({"joint": PAIR, "quantity": 1.5}, "/joints/1/quantity", "not a whole number"),
        ({"joint": PAIR, "quantity": 10**9}, "/joints/1/quantity", "1 to 1000000 is allowed"),
        ({"joint": PAIR, "quantity": True}, "/joints/1/quantity", "is not a number"),
        ({"joint": PAIR, "id": 7}, "/joints/1/id", "is not text"),
        ({"joint": PAIR, "qty": 7}, "/joints/1/qty", "unknown key"),
        ({"joint": PAIR, "code": "nfpa70-2017"}, "/joints/1/code", "unknown key"),
        ({"joint": {"conductors": [{"size": "12"}]}}, "/joints/1/joint/conductors/0/size", "has no unit"),
        ({"joint": PAIR, "place": {"exposure": "wett"}}, "/joints/1/place/exposure", "did you mean 'wet'?"),
        ({"joint": PAIR, "place": 3}, "/joints/1/place", "must be an object"),
        ({"joint": PAIR, "pigtails": [{}]}, "/joints/1/pigtails/0/size", "is required"),
        ({"joint": PAIR, "pigtails": [{"size": "14 AWG"}]}, "/joints/1/pigtails/0", "has 0 such conductors left"),
        ({"joint": PAIR, "pigtails": [{"size": "12 AWG"}] * 3}, "/joints/1/pigtails/2", "has 0 such conductors left"),
    ],
)
def test_a_bad_joint_tells_its_errors_and_spoils_no_other(joint, pointer, says):
    answer = job({"id": "good", "joint": THREE}, joint)
    found = {error["pointer"]: error["says"] for error in answer["problems"][0]["errors"]}
    assert says in found[pointer]
    assert [one["outcome"] for one in answer["joints"]] == ["options", "error"]
    assert answer["counts"]["made"] == 1


def test_every_error_of_a_joint_is_told_once():
    joint = {
        "id": 1,
        "quantity": 0,
        "joint": {"conductors": [{"size": "12"}, {"size": "12 AWG", "colour": 1}]},
        "extra": 1,
    }
    assert sorted(errors(joint)) == [
        "/joints/0/extra",
        "/joints/0/id",
        "/joints/0/joint/conductors/0/size",
        "/joints/0/joint/conductors/1/colour",
        "/joints/0/quantity",
    ]  # fmt: skip


def test_an_id_that_stands_twice_is_an_error_at_the_second():
    found = errors({"id": "a", "joint": PAIR}, {"id": "b", "joint": PAIR}, {"id": "a", "joint": PAIR})
    assert list(found) == ["/joints/2/id"]
    assert "stands already at /joints/0" in found["/joints/2/id"]


def test_an_error_stands_for_each_joint_that_says_the_same():
    wrong = {"joint": {"conductors": [{"size": "12"}]}}
    assert list(errors(wrong, wrong)) == ["/joints/0/joint/conductors/0/size", "/joints/1/joint/conductors/0/size"]


def test_defaults_are_laid_under_leaf_by_leaf_and_a_joints_own_word_wins():
    defaults = {
        "place": {"exposure": "wet", "site": "outdoors"},
        "circuit": {"volts": 240},
        "work": {"temporary": True},
    }
    own = {"place": {"exposure": "damp"}, "circuit": {"amps": 4}}
    answer = job({"joint": PAIR, **own}, defaults=defaults)
    alone = choose(
        {
            "joint": PAIR,
            "place": {"exposure": "damp", "site": "outdoors"},
            "circuit": {"volts": 240, "amps": 4},
            "work": {"temporary": True},
            "explain": "brief",
        }
    )
    assert answer["joints"][0]["answer"] == alone["answer"]
    assert answer["joints"][0]["connectors"][0]["connector"] == alone["options"][0]["connector"]


def test_a_quantity_with_its_unit_is_one_leaf():
    answer = job(
        {"joint": PAIR, "place": {"ambient": {"value": 104, "unit": "degF"}}},
        defaults={"place": {"ambient": {"value": 30, "unit": "degC"}}},
    )
    alone = choose({"joint": PAIR, "place": {"ambient": {"value": 104, "unit": "degF"}}, "explain": "brief"})
    assert answer["joints"][0]["answer"] == alone["answer"]


def test_what_the_job_says_is_not_counted_as_assumed():
    said = {"code": "nfpa70-2020", "catalogue": "shop", "explain": "full"}
    plain = job({"joint": PAIR}, **said)
    told = job({"joint": PAIR}, **said, defaults={"place": {"exposure": "dry"}})
    assert plain["assumed"] == told["assumed"] == {}
    assert plain["joints"][0]["assumed"].keys() - told["joints"][0]["assumed"].keys() == {"/joints/0/place/exposure"}


def test_the_defaults_of_the_job_are_told_under_their_pointers():
    assert job({"joint": PAIR}, stock={})["assumed"]["/stock/aim"] == {"value": "fewest-types", "from": "default"}


def test_each_default_is_told_once_with_how_many_joints_it_was_filled_in_for():
    answer = job({"joint": PAIR, "quantity": 5}, {"joint": THREE, "place": {"exposure": "damp"}}, BARRED)
    found = answer["assumed_in_joints"]
    assert found["/place/exposure"] == [{"value": "dry", "from": "default", "joint_count": 6}]
    assert found["/joint/conductors/*/material"] == [{"value": "copper", "from": "default", "joint_count": 7}]


def test_a_default_that_differs_from_joint_to_joint_is_told_with_each_of_its_values():
    large = {"joint": {"conductors": [{"size": "1/0 AWG", "count": 2}]}}
    found = job({"joint": PAIR, "quantity": 5}, large)["assumed_in_joints"]["/joint/conductors/*/construction"]
    assert [(one["value"], one["joint_count"]) for one in found] == [("solid", 5), ("stranded", 1)]


def test_full_tells_each_default_under_its_pointer_into_the_request():
    answer = job({"joint": PAIR, "place": {"exposure": "damp"}}, {"joint": PAIR}, explain="full")
    first, second = (joint["assumed"] for joint in answer["joints"])
    assert second["/joints/1/place/exposure"] == {"value": "dry", "from": "default"}
    assert "/joints/0/place/exposure" not in first
    assert first["/joints/0/joint/conductors/0/material"] == {"value": "copper", "from": "default"}
    assert "assumed" not in job({"joint": PAIR})["joints"][0]


def test_a_long_list_of_right_words_is_told_once():
    bad = [{"joint": {"conductors": [{"size": "12 AWG", "count": 2, "insulation": f"zzz{at}"}]}} for at in range(3)]
    near = {"joint": {"conductors": [{"size": "12 AWG", "count": 2, "insulation": "THHNN"}]}}
    first, *others, last = errors(*bad, near).items()
    assert first[1].startswith('"zzz0" is not known; use one of: THHN, ')
    assert [says for _, says in others] == [
        f'"zzz{at}" is not known; use one of those told at {first[0]}' for at in (1, 2)
    ]
    assert last[1] == "\"THHNN\" is not known; did you mean 'THHN'?"


def test_a_bad_joint_is_told_in_its_place_as_in_problems():
    answer = job({"id": "a", "joint": {}}, {"joint": PAIR}, boxes=[{"id": "b", "wires": []}])
    assert [answer["joints"][0], *answer["boxes"]] == answer["problems"]
