"""Under amendments a job tells what they took out: of each joint what its own answer tells, and in all by joints."""

from __future__ import annotations

import random
from collections import Counter
from typing import Any

import pytest

from splicewright.answering import Chooser
from splicewright.job import plan_job
from tests.oracle.questions import random_given

AMENDMENTS = ["coastal-county", "house-rules"]
SALT = {"joint": {"conductors": [{"size": "14 AWG", "count": 3}]}, "place": {"corrosion": ["salt-air"]}}


@pytest.fixture(scope="module")
def chooser() -> Chooser:
    return Chooser()


def test_joints_and_boxes_tell_what_their_own_answers_tell(chooser: Chooser) -> None:
    joints = [random_given(random.Random(seed)) for seed in range(25)]
    joints = [{**{key: one[key] for key in one if key != "code"}, "quantity": at + 1} for at, one in enumerate(joints)]
    box = {"wires": [{"size": "14 AWG", "count": 3}], "joints": [SALT], "quantity": 7}
    told = plan_job({"amendments": AMENDMENTS, "joints": joints, "boxes": [box]}, chooser)
    counts: Counter[str] = Counter()
    for joint, given in zip(told["joints"], [*joints, {**SALT, "quantity": 7}], strict=True):
        question = {key: one for key, one in given.items() if key != "quantity"}
        own: list[dict[str, Any]] = chooser.choose({**question, "amendments": AMENDMENTS})["amended"]
        assert joint.get("amended", []) == own
        counts.update({one["rule"]: joint["quantity"] for one in own})
    assert {one["rule"]: one["joint_count"] for one in told["amended"]} == counts
    assert counts["environment/sealed-against-sea-and-pool-air"] > 0


def test_without_amendments_nothing_is_told_of_them(chooser: Chooser) -> None:
    told = plan_job({"joints": [SALT]}, chooser)
    assert "amended" not in told
    assert "amended" not in told["joints"][0]


def test_amendments_that_took_nothing_out_here_are_told_with_an_empty_list(chooser: Chooser) -> None:
    assert plan_job({"amendments": ["house-rules"], "joints": [SALT]}, chooser)["amended"] == []
