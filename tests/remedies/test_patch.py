"""A patch of what was sent, applied with a library and asked again, gives what its remedy tells."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from typing import Any

import jsonpatch
import pytest

from splicewright.answering import Chooser, choose, shipped_chooser
from splicewright.box import fill_box
from splicewright.box.joints import decide
from splicewright.box.read import read_box
from splicewright.job import plan_job
from splicewright.remedies import patch as patching
from splicewright.remedies.patch import Target, patch
from splicewright.reports.job import print_job
from tests.remedies import patches
from tests.seeds import seeds

Plain = dict[str, Any]
TWELVE = {"size": "12 AWG", "count": 2, "insulation": "THHN"}
BOX = {"wires": [{"size": "12 AWG", "count": 4}]}


def patch_of(given: Plain, remedy: int = 0) -> list[Plain]:
    """Give the patch of one remedy, by its place."""
    return choose(given)["remedies"][remedy]["patch"]  # type: ignore[no-any-return]


def op(op: str, path: str, value: Any) -> Plain:
    return {"op": op, "path": path, "value": value}


# --- what is written -------------------------------------------------------------------------


def test_a_word_that_was_sent_is_replaced() -> None:
    sent = {"joint": {"conductors": [TWELVE]}, "place": {"enclosure": "raceway"}}
    assert patch_of(sent) == [op("replace", "/place/enclosure", "box")]
    plain = {"joint": {"conductors": [{"size": "12 AWG", "count": 2}]}, "circuit": {"overcurrent_amps": 25}}
    assert patch_of(plain) == [op("replace", "/circuit/overcurrent_amps", 20)]


def test_every_like_conductor_changes_wherever_it_was_sent() -> None:
    one, other = {**TWELVE, "count": 1}, {**TWELVE, "size": "12ga", "role": "hot"}
    sent = {
        "joint": {"conductors": [one, {"size": "12 AWG", "insulation": "THWN-2"}, other]},
        "place": {"exposure": "wet"},
    }
    assert patch_of(sent) == [op("replace", f"/joint/conductors/{at}/insulation", "THWN-2") for at in (0, 2)]


def test_one_word_stands_for_a_list_of_one_but_where_a_list_was_sent() -> None:
    listed = {"joint": {"conductors": [{**TWELVE, "insulation": ["THHN"]}]}, "place": {"exposure": "wet"}}
    assert patch_of(listed) == [op("replace", "/joint/conductors/0/insulation", ["THWN-2"])]


def test_what_follows_a_changed_word_is_said_only_where_it_is_to_stay() -> None:
    larger = {"joint": {"conductors": [TWELVE]}, "circuit": {"amps": 32, "kind": "feeder"}}
    assert patch_of(larger) == [
        op("replace", "/joint/conductors/0/size", "8 AWG"),
        op("add", "/joint/conductors/0/construction", "solid"),
    ]
    volts = {"joint": {"conductors": [TWELVE]}, "circuit": {"kind": "low-voltage-landscape", "volts": 120}}
    assert patch_of(volts) == [op("replace", "/circuit/kind", "branch")]


def test_joints_of_a_split_take_conductors_away_and_add_jumpers() -> None:
    sent = {
        "joint": {
            "conductors": [{**TWELVE, "size": "10 AWG", "count": 4}, {**TWELVE, "count": 5}, {**TWELVE, "count": 3}]
        }
    }
    (remedy,) = choose(sent)["remedies"]
    assert remedy["kind"] == "split"
    for joint, question in zip(remedy["joints"], remedy["questions"], strict=True):
        changed = jsonpatch.apply_patch(sent, joint["patch"])
        assert choose(changed)["answer"] == choose(question)["answer"]


def test_a_jumper_says_its_metal_since_old_aluminum_wiring_asks_it() -> None:
    copper = {**TWELVE, "material": "copper"}
    conductors = [{"size": "12 AWG", "material": "aluminum"}, {**copper, "count": 3}]
    given = {"joint": {"conductors": conductors}, "work": {"wiring_age": "aluminum-branch"}, "limit": 1}
    counts = Counter[str]()
    assert list(patches.tried(given, shipped_chooser(), counts)) == []


def test_brief_tells_the_same_patches_and_bytes_asked_again_too() -> None:
    chooser = Chooser(cache_bytes=1_000_000)
    asked = b'{"id":"%b","joint":{"conductors":[{"size":"12 AWG","count":%b}]},"place":{"enclosure":"raceway"}}'
    first, again = (chooser.answer_json(asked % (one, b"2"), explain="brief") for one in (b"a", b"b"))
    assert b'"patch":[{"op":"replace","path":"/place/enclosure","value":"box"}]' in first
    assert again == first.replace(b'"id":"a"', b'"id":"b"')
    assert chooser.cache.hits_by_bytes == 1


def test_what_was_sent_decides_the_patch_of_the_same_question() -> None:
    chooser = Chooser(cache_bytes=1_000_000)
    said = chooser.choose({"joint": {"conductors": [TWELVE], "purpose": "splice"}, "place": {"reach": "concealed"}})
    twice = [{**TWELVE, "count": 1}, {**TWELVE, "count": 1}]
    other = chooser.choose({"joint": {"conductors": twice}, "place": {"reach": "hidden", "site": "indoors"}})
    assert said["answer"] == other["answer"]
    assert chooser.cache.hits_by_question == 1
    assert said["remedies"][0]["patch"] == other["remedies"][0]["patch"]
    assert "/place/reach" in [one["pointer"] for one in other["read_as"]]


# --- boxes and jobs --------------------------------------------------------------------------


def test_joint_of_a_job_is_patched_where_it_stands() -> None:
    conductors = {"conductors": [{**TWELVE, "condition": "burnt"}]}
    joint = {"joint": conductors, "pigtails": [{"size": "12 AWG", "count": 2}], "quantity": 3}
    job = {"joints": [{"joint": {"conductors": [TWELVE]}}, joint], "defaults": {"place": {"reach": "concealed"}}}
    for problem, at in zip(plan_job(job)["problems"], (0, 1), strict=True):
        (remedy,) = problem["remedies"]
        assert op("add", f"/joints/{at}/place", {"reach": "accessible"}) in remedy["patch"]
        planned = plan_job(jsonpatch.apply_patch(job, remedy["patch"]))
        assert planned["joints"][at]["outcome"] == "options"
        assert planned["joints"][at]["connectors"][0]["connector"] == remedy["best"]["connector"]


def test_pigtails_of_a_joint_change_with_its_conductors() -> None:
    pigtails = [{"size": "12 AWG"}, {"size": "12ga", "material": "cu"}]
    job = {
        "joints": [{"joint": {"conductors": [TWELVE]}, "pigtails": pigtails, "circuit": {"amps": 32, "kind": "feeder"}}]
    }
    (problem,) = plan_job(job)["problems"]
    patch = problem["remedies"][0]["patch"]
    assert [op("replace", f"/joints/0/pigtails/{at}/size", "8 AWG") for at in (0, 1)] == patch[:2]
    assert patching.leaves_written(patch) == [("conductor.size", "8 AWG"), ("conductor.construction", "solid")]
    assert plan_job(jsonpatch.apply_patch(job, patch))["problems"] == []


def test_no_patch_is_told_where_pigtails_would_be_divided(capsys: pytest.CaptureFixture[str]) -> None:
    twelve = {"conductors": [{**TWELVE, "count": 12}]}
    job = {"joints": [{"joint": twelve, "pigtails": [{"size": "12 AWG", "count": 12}]}]}
    answer = plan_job(job)
    (remedy,) = answer["problems"][0]["remedies"]
    assert remedy["kind"] == "split"
    assert not [joint for joint in remedy["joints"] if "patch" in joint]
    print_job(answer)
    assert "8 x 12 AWG in" in capsys.readouterr().out


def test_joint_of_a_box_is_patched_from_the_root_of_what_was_sent() -> None:
    box = {**BOX, "place": {"reach": "concealed"}, "joints": [{"joint": {"conductors": [TWELVE]}, "limit": 1}]}
    (joint,) = fill_box(box)["joints"]
    assert joint["remedies"][0]["patch"] == [op("add", "/joints/0/place", {"reach": "accessible"})]
    job = {"boxes": [{**BOX, "joints": []}, box_of_a_job := {**box, "joints": [{"joint": {"conductors": [TWELVE]}}]}]}
    (problem,) = plan_job(job)["problems"]
    assert problem["remedies"][0]["patch"] == [op("add", "/boxes/1/joints/0/place", {"reach": "accessible"})]
    assert box_of_a_job["place"] == {"reach": "concealed"}


def in_a_box(box: Plain, enclosure: str, **more: Any) -> list[Plain] | None:
    """Give the patch that puts the joint of a box, which is otherwise refused, into another enclosure."""
    (decided,) = decide(read_box(box), lambda _: {}, box, read_box)
    assert decided.asked is not None
    question = decided.asked.question
    place = replace(question.place, enclosure=enclosure, **more)
    return patch(decided.asked, Target(replace(question, place=place), question.joint.conductors))


def test_what_a_box_says_of_its_joints_is_changed_at_the_box() -> None:
    joint = {"joint": {"conductors": [TWELVE]}}
    body = {**BOX, "place": {"enclosure": "conduit-body"}, "joints": [joint]}
    assert in_a_box(body, "box") == [op("replace", "/place/enclosure", "box")]
    both = {**body, "joints": [{**joint, "place": {"enclosure": "conduit-body"}}]}
    assert in_a_box(both, "box") == [
        op("replace", "/place/enclosure", "box"),
        op("replace", "/joints/0/place/enclosure", "box"),
    ]
    metal = in_a_box(body, "conduit-body", box_material="metal")
    assert metal == [op("add", "/joints/0/place", {"box_material": "metal"})]


def test_no_patch_makes_a_box_what_it_can_not_be() -> None:
    body = {**BOX, "place": {"enclosure": "conduit-body"}, "joints": [{"joint": {"conductors": [TWELVE]}}]}
    assert in_a_box(body, "handhole") is None
    standard = {**BOX, "box": {"name": "4 x 1-1/2 square"}, "joints": body["joints"]}
    assert in_a_box(standard, "box", box_material="nonmetallic") is None


# --- everything ------------------------------------------------------------------------------


@pytest.mark.parametrize("seed", seeds(10, fast=2))
def test_patches_hold(seed: int) -> None:
    counts = Counter[str]()
    assert list(patches.broken(seed, 40, counts)) == []
    assert counts["remedies"] >= 40


def test_a_patch_that_does_not_hold_is_noticed(monkeypatch: pytest.MonkeyPatch) -> None:
    given = {"joint": {"conductors": [TWELVE]}, "circuit": {"amps": 32, "kind": "feeder"}}
    assert list(patches.tried(given, shipped_chooser(), Counter())) == []
    chooser = Chooser()
    whole = patching.patch
    for wrong in (
        lambda found: found[:1],  # an operation too few
        lambda found: [*found, op("add", "/circuit/gfci", value=False)],  # one too many
        lambda found: [*found, op("replace", "/circuit/amps", 20)],  # another joint
        lambda _: None,
    ):
        monkeypatch.setattr("splicewright.remedies.remedy_rendering.patch", lambda *of, w=wrong: w(whole(*of)))
        assert list(patches.tried(given, chooser, Counter())) != []
