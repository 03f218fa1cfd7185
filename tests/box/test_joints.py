"""The joints of a box: decided with the box known, none spoiling another, errors pointing into the request."""

from __future__ import annotations

import json
from collections.abc import Sequence
from typing import Any

import jsonpatch
import pytest

from splicewright import Refused, fill_box
from splicewright.answering import shipped_chooser
from splicewright.rulebook.concerns import concern_words
from splicewright.tables.boxes import settled_by_fill
from tests.box.requests import SIX, SQUARE, TWELVE, box, joint

NAMED = {"name": SQUARE}
MARKED = {"volume": {"value": 21, "unit": "in3"}}
JUDGED = ["judged"]


def answers(*joints: Any, **parts: Any) -> list[dict[str, Any]]:
    found: list[dict[str, Any]] = fill_box(box(joints=list(joints), **{"box": NAMED, **parts}))["joints"]
    return found


def errors(*joints: Any, **parts: Any) -> dict[str, str]:
    return {
        error["pointer"]: error["says"] for answer in answers(*joints, **parts) for error in answer.get("errors", ())
    }


def asked_alone(include: Sequence[str] = (), **parts: Any) -> dict[str, Any]:
    place = {"enclosure": "box", "box_material": "metal", **parts.pop("place", {})}
    question = {"code": "nfpa70-2023", **joint(place=place, **parts)}
    return shipped_chooser().choose(question, explain="brief", include=include)


def in_question(answer: dict[str, Any], at: int = 0) -> dict[str, Any]:
    """Give a joint's answer with the pointers that lead to the joint leading into its own question."""
    written: dict[str, Any] = json.loads(json.dumps(answer).replace(f'"/joints/{at}/', '"/'))
    return written


def room_of(answer: dict[str, Any]) -> dict[str, Any]:
    """Give what an answer says of the room of its box."""
    (found,) = (one for one in answer["judged"] if one["concern"] == settled_by_fill())
    return dict(found)


def test_a_joint_is_answered_as_it_would_be_alone_but_for_the_room_of_its_box() -> None:
    alone, (answer,) = asked_alone(JUDGED), answers(joint(), include=JUDGED)
    asks = {"why": "not-stated", "asks": "/place/room"}
    assert room_of(alone) == {"concern": "box-room", **asks, "article": "314.16, 312.8, 376.56"}
    assert room_of(answer) == {"concern": "box-room", "article": "Table 314.16(A)"}
    expected = [room_of(answer) if one == room_of(alone) else one for one in alone["judged"]]
    assert in_question(answer) == {**alone, "judged": expected}


def test_of_a_joint_told_briefly_room_that_was_judged_is_not_told() -> None:
    alone, (answer,) = asked_alone(), answers(joint())
    assert in_question(answer) == {**alone, "judged": [one for one in alone["judged"] if one != room_of(alone)]}


def test_each_joint_has_the_room_of_its_box() -> None:
    found = answers(joint(), joint(place={"exposure": "wet"}), include=JUDGED)
    assert ["why" in room_of(answer) for answer in found] == [False, False]


def test_the_room_is_judged_also_where_the_box_is_too_small() -> None:
    answer = fill_box(box({**SIX, "count": 12}, box=NAMED, joints=[joint()], include=JUDGED))
    assert answer["fits"] is False
    assert "why" not in room_of(answer["joints"][0])


def test_a_joint_whose_box_is_not_known_says_what_it_would_say_alone() -> None:
    (answer,) = fill_box(box(joints=[joint()], place={"box_material": "metal"}))["joints"]
    assert room_of(answer) == room_of(asked_alone())


def test_a_joint_in_a_box_with_what_has_no_volume_tells_the_section_that_sizes_such_a_box() -> None:
    (answer,) = fill_box(box({"size": "4 AWG"}, SIX, box=NAMED, joints=[joint()], include=JUDGED))["joints"]
    assert room_of(answer) == {"concern": "box-room", "why": "no-rule", "article": "314.28(A)"}


def test_the_concern_that_the_fill_settles_is_one() -> None:
    assert settled_by_fill() in concern_words()


@pytest.mark.parametrize(("explain", "full"), [({}, False), ({"explain": "brief"}, False), ({"explain": "full"}, True)])
def test_a_joint_is_told_briefly_unless_the_box_asks_for_more(explain: dict[str, str], *, full: bool) -> None:
    assert ("findings" in answers(joint(), **explain)[0]) is full


def test_a_joint_may_ask_for_a_whole_answer_of_its_own() -> None:
    one, two = answers(joint(explain="full"), joint())
    assert "findings" in one
    assert "findings" not in two


def test_a_standard_box_makes_the_place_of_its_joints_metal() -> None:
    (answer,) = answers(joint(explain="full"))
    assert not {"/place/enclosure", "/place/box_material", "/code"} & answer["assumed"].keys()


def test_a_box_of_unknown_material_leaves_it_assumed() -> None:
    (answer,) = answers(joint(explain="full"), box=MARKED)
    assert answer["assumed"]["/place/box_material"] == {"value": "nonmetallic", "from": "default"}


def test_place_circuit_and_work_of_the_box_lie_under_each_joint_which_may_say_otherwise() -> None:
    parts = {"place": {"exposure": "damp"}, "circuit": {"volts": 240}, "work": {"reopened": "often"}}
    one, two = answers(joint(), joint(place={"exposure": "wet"}), **parts)
    assert one["answer"] == asked_alone(**parts)["answer"]
    assert two["answer"] == asked_alone(**{**parts, "place": {"exposure": "wet"}})["answer"]


def test_joints_may_stand_in_a_conduit_body_marked_with_its_volume() -> None:
    (answer,) = answers(joint(), box=MARKED, place={"enclosure": "conduit-body"})
    assert answer["outcome"] == "options"


def test_one_bad_joint_never_spoils_the_rest() -> None:
    good, bad, more = answers(joint(id="a"), {"id": "b", "joint": {"conductors": [{"size": 12}]}}, joint(id="c"))
    assert (good["outcome"], more["outcome"]) == ("options", "options")
    assert bad == {
        "outcome": "error",
        "id": "b",
        "pointer": "/joints/1",
        "errors": [
            {
                "pointer": "/joints/1/joint/conductors/0/size",
                "says": "'12' has no unit; write '12 AWG' or '12 mm2'",
                "code": "not-a-size",
                "allowed": ["12 AWG", "12 mm2"],
            }
        ],
    }


@pytest.mark.parametrize("given", [None, 3, "x", [], {}, {"id": 3, "joint": {}}, {"joint": None, "id": "x" * 101}])
def test_what_is_no_question_gets_errors_and_no_id(given: Any) -> None:
    (answer,) = answers(given)
    assert (answer["outcome"], answer["pointer"]) == ("error", "/joints/0")
    assert "id" not in answer
    assert answer["errors"]
    assert all(error["pointer"].startswith("/joints/0") for error in answer["errors"])


@pytest.mark.parametrize(
    ("given", "parts", "pointer"),
    [
        (joint(place={"enclosure": "handhole"}), {}, "/joints/0/place/enclosure"),
        (joint(place={"enclosure": "conduit-body"}), {}, "/joints/0/place/enclosure"),
        (joint(place={"box_material": "nonmetallic"}), {}, "/joints/0/place/box_material"),
        (joint(code="nfpa70-2017"), {}, "/joints/0/code"),
        (joint(place={"box_material": "metal"}), {"box": MARKED, "place": {"box_material": "nonmetallic"}},
         "/joints/0/place/box_material"),
    ],
)  # fmt: skip
def test_a_joint_that_contradicts_its_box_is_an_error(given: Any, parts: dict[str, Any], pointer: str) -> None:
    assert set(errors(given, **parts)) == {pointer}


def test_a_joint_may_repeat_what_the_box_says() -> None:
    given = joint(code="nfpa70-2023", place={"enclosure": "box", "box_material": "metal"})
    assert answers(given)[0]["outcome"] == "options"


def test_of_a_word_that_is_none_the_nearest_is_told_rather_than_a_contradiction() -> None:
    assert errors(joint(place={"enclosure": "boxx"})) == {
        "/joints/0/place/enclosure": "\"boxx\" is not known; did you mean 'box'?"
    }


def test_contradictions_and_other_problems_of_a_joint_are_told_together() -> None:
    given = joint({"size": 12}, place={"enclosure": "handhole"})
    assert set(errors(given)) == {"/joints/0/place/enclosure", "/joints/0/joint/conductors/0/size"}


def test_amendments_that_a_box_names_refuse_the_request() -> None:
    with pytest.raises(Refused) as refused:
        answers(joint(), amendments=["none-such"])
    assert [problem.pointer for problem in refused.value.problems] == ["/amendments/0"]


def test_an_amendment_that_a_joint_names_itself_points_into_the_joint() -> None:
    assert set(errors(joint(amendments=["none-such"]))) == {"/joints/0/amendments/0"}


def test_a_catalogue_that_is_not_known_refuses_the_request() -> None:
    with pytest.raises(Refused) as refused:
        answers(joint(), catalogue="shopp")
    assert [problem.pointer for problem in refused.value.problems] == ["/catalogue"]


def test_a_catalogue_that_one_joint_names_spoils_only_that_joint() -> None:
    bad, good = answers(joint(catalogue="shopp"), joint())
    assert [error["pointer"] for error in bad["errors"]] == ["/joints/0/catalogue"]
    assert good["outcome"] == "options"


WET = {"exposure": "wet"}


def soaked(answer: dict[str, Any]) -> dict[str, Any]:
    (found,) = (one for one in answer["findings"] if one["rule"] == "environment/soaked-is-wet")
    return dict(found)


def test_findings_lead_from_the_root_to_what_the_joint_says_or_else_its_box() -> None:
    joints = answers(joint(), joint(place=WET), place=WET, include=["findings", "proofs"])
    for answer, place in zip(joints, ("/place/exposure", "/joints/1/place/exposure"), strict=True):
        (proof,) = soaked(answer)["from"]
        assert (soaked(answer)["at"], proof["at"]) == ([place], [place])


def test_bars_lead_from_the_root_to_the_conductors_of_their_joint_as_sent() -> None:
    one, other = {**TWELVE, "role": "grounded"}, TWELVE
    for at, answer in enumerate(answers(joint(one, other), joint(other, one), include=["proofs"])):
        (bar,) = answer["bars"]
        assert sorted(bar["at"]) == [f"/joints/{at}/joint/conductors/{number}/role" for number in (0, 1)]
        (assumed,) = (proof for proof in bar["from"] if proof.get("assumed"))
        assert assumed["at"] == [f"/joints/{at}/joint/conductors/{1 - at}/role"]


def test_what_to_state_and_what_was_filled_in_lead_from_the_root() -> None:
    parts = {"circuit": {"volts": 240}, "include": ["assumed"]}
    one, own = answers(joint(), joint(circuit={"amps": 8}, place={"exposure": "dry"}), **parts)
    asks = [{told["concern"]: told["asks"] for told in answer["judged"] if "asks" in told} for answer in (one, own)]
    assert [found["overcurrent"] for found in asks] == [
        "/circuit/overcurrent_amps",
        "/joints/1/circuit/overcurrent_amps",
    ]
    kinds = [[at for at in answer["assumed"] if at.endswith("/circuit/kind")] for answer in (one, own)]
    assert kinds == [["/circuit/kind"], ["/joints/1/circuit/kind"]]


def test_what_was_taken_for_what_is_meant_leads_from_the_root() -> None:
    _, answer = answers(joint(), joint({"size": "12awg", "count": 2}))
    assert [one["pointer"] for one in answer["read_as"]] == ["/joints/1/joint/conductors/0/size"]


def test_stating_what_is_asked_there_where_it_leads_settles_it() -> None:
    request = box(box=NAMED, joints=[joint(), joint(circuit={"amps": 8})], circuit={"volts": 240})
    for at, answer in enumerate(fill_box(request)["joints"]):
        (asks,) = {one["asks"] for one in answer["judged"] if one["concern"] == "overcurrent"}
        stated = jsonpatch.apply_patch(request, [{"op": "add", "path": asks, "value": 15}])
        assert "overcurrent" not in [one["concern"] for one in fill_box(stated)["joints"][at]["judged"]]


def test_a_given_request_is_left_as_it_was() -> None:
    given = box(SIX, joints=[joint()], place={"exposure": "damp"}, box=NAMED)
    before = repr(given)
    fill_box(given)
    assert repr(given) == before


def test_a_barred_joint_in_a_box_that_fits_keeps_its_bars() -> None:
    shorted = joint(TWELVE, {**TWELVE, "role": "grounded"})
    assert answers(shorted)[0]["outcome"] == "barred"
