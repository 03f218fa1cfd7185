"""A catalogue that stands in a request itself: answered from like one of the server, within bounds."""

from __future__ import annotations

import json
from typing import Any

import pytest

from splicewright.answering import Chooser
from splicewright.answering.inline import MOST_CONNECTORS
from splicewright.batch.lines import Block, answer_block
from splicewright.box.answer import fill_box
from splicewright.catalogue import catalogue_of
from splicewright.inspection import check_splice
from splicewright.job.answer import plan_job
from splicewright.refusals import Refused
from splicewright.work import Budget
from tests.catalogue.making import catalogue, combinations, listing, port, ports

CHOOSER = Chooser()
SAYS_ALL = {"volts": "600 V", "degrees": "90 degC", "insulated": True}
SHELL = listing(id="shell", takes=[combinations({"14 AWG": "2 to 4"})], **SAYS_ALL)
LEVER = listing(id="lever", method="lever", takes=[ports(port(3, "18 AWG", "12 AWG"))], **SAYS_ALL)
SHELF = catalogue(SHELL, LEVER)
JOINT: dict[str, Any] = {"joint": {"conductors": [{"size": "14 AWG", "count": 3}]}}


def answered(**more: Any) -> dict[str, Any]:
    return CHOOSER.choose({**JOINT, "catalogue": SHELF, **more}, explain="brief", include=["refusals"])


def shelf_of_spans() -> dict[str, Any]:
    """Give a catalogue that stands for many combinations in few bytes."""
    lines = [{f"{at} AWG": "1 to 7", "1 AWG": "1 to 8"} for at in (14, 12, 10, 8, 6, 4, 3, 2, 16)]
    return catalogue(*[listing(id=f"shell-{at}", takes=[combinations(*lines)]) for at in range(12)])


def shelf(*more: dict[str, Any]) -> dict[str, Any]:
    return catalogue(*more)


def test_it_is_answered_from_and_its_digest_is_told():
    answer = answered()
    assert {one["connector"] for one in answer["options"]} == {"lever", "shell"}
    assert answer["catalogue"] == {"name": "trial", "digest": catalogue_of(SHELF).digest}
    assert "/catalogue" not in answer["assumed"]


def test_it_is_answered_alike_whichever_way_it_is_asked():
    asked = {**JOINT, "catalogue": SHELF}
    text = json.dumps(asked).encode()
    answer = CHOOSER.choose(asked)
    assert json.loads(CHOOSER.answer_json(text)) == answer
    assert json.loads(CHOOSER.answer_json(text)) == answer  # known by its bytes
    lines = answer_block(CHOOSER, Block(1, text + b"\n"), explain="full")
    assert json.loads(lines.text) == answer


def test_two_of_one_name_are_not_taken_for_one_another():
    first = answered()
    other = answered(catalogue=shelf(LEVER))
    again = answered()
    assert first == again
    assert {one["connector"] for one in other["options"]} == {"lever"}
    assert other["answer"] != first["answer"]


def test_one_called_like_the_servers_takes_nothing_from_it():
    assert answered(catalogue={**SHELF, "catalogue": "shop"})["counts"] == answered()["counts"]
    assert CHOOSER.choose(JOINT)["catalogue"]["name"] == "shop"
    assert CHOOSER.catalogue("shop").connectors[0].id != "lever"


def test_its_address_names_nothing_on_the_server():
    with pytest.raises(Refused, match="/catalogue: "):
        CHOOSER.choose({**JOINT, "catalogue": catalogue_of(SHELF).digest})


def test_what_is_wrong_in_it_is_told_where_it_stands():
    with pytest.raises(Refused) as caught:
        answered(catalogue=shelf(listing(volts="600 W")))
    (problem,) = caught.value.problems
    assert problem.pointer == "/catalogue/connectors/0/volts"


@pytest.mark.parametrize(
    ("own", "says"),
    [
        (catalogue(*[{} for _ in range(MOST_CONNECTORS + 1)]), "has 201 connectors; at most 200"),
        ({**SHELF, "note": "x" * 400_000}, "bytes long; at most 400,000"),
        (shelf_of_spans(), "has 6,048 combinations; at most 6,000"),
        ({**SHELF, "note": {1, 2}}, "holds what JSON does not have"),
        ({}, "is required"),
    ],
)
def test_one_that_is_too_large_or_none_is_refused(own, says):
    with pytest.raises(Refused, match=says) as caught:
        answered(catalogue=own)
    assert all(problem.pointer.startswith("/catalogue") for problem in caught.value.problems)


def test_check_box_and_job_take_one():
    checked = check_splice({**JOINT, "catalogue": SHELF, "proposal": {"connector": "lever"}}, CHOOSER)
    assert checked["proposed"]["name"] == "Lever, 18 AWG to 12 AWG"
    assert checked["catalogue"]["digest"] == catalogue_of(SHELF).digest
    box_asked = {"box": {"volume": {"value": 30, "unit": "in3"}}, "wires": [{"size": "14 AWG", "count": 3}]}
    box = fill_box({**box_asked, "catalogue": SHELF, "joints": [JOINT]}, CHOOSER)
    assert {one["connector"] for one in box["joints"][0]["options"]} == {"lever", "shell"}
    job = plan_job({"catalogue": SHELF, "joints": [{"id": "a", "quantity": 2, **JOINT}]}, CHOOSER)
    assert job["takeoff"][0]["connector"] in {"lever", "shell"}
    assert job["catalogue"] == {"name": "trial", "digest": catalogue_of(SHELF).digest}


def test_lines_of_a_batch_that_each_bring_one_use_up_its_work():
    line = json.dumps({**JOINT, "catalogue": SHELF}).encode() + b"\n"
    whole = answer_block(CHOOSER, Block(1, line * 5), explain="brief", budget=Budget(whole=10**6))
    assert whole.errors == 0
    spent = answer_block(CHOOSER, Block(1, line * 5), explain="brief", budget=Budget(whole=1000))
    assert spent.errors or spent.lines < 5


SOURCE = {"document": "carton", "where": "side", "read_on": "2026-11-30", "read_by": "storekeeper"}


def test_where_a_listing_was_read_is_told_of_options_proposals_and_takeoffs():
    own = shelf({**LEVER, "source": SOURCE}, {**SHELL, "source": {"document": "sheet"}})
    asked = {**JOINT, "catalogue": own}
    sources = {one["connector"]: one.get("source") for one in CHOOSER.choose(asked)["options"]}
    assert sources == {"lever": SOURCE, "shell": {"document": "sheet"}}
    assert all("source" not in one for one in CHOOSER.choose(asked, explain="brief")["options"])
    checked = check_splice({**asked, "proposal": {"connector": "lever"}}, CHOOSER)
    assert checked["proposed"]["source"] == SOURCE
    (line,) = plan_job({"catalogue": own, "joints": [{"id": "a", "quantity": 2, **JOINT}]}, CHOOSER)["takeoff"]
    assert line["source"] == sources[line["connector"]]


# --- what a listing does not state ---------------------------------------------------------------

SILENT = listing(id="shell", takes=[combinations({"14 AWG": "2 to 4"})], volts="600 V", degrees="90 degC")
AT_A_HANDLE = {"place": {"exposure": "wet"}}


def refusals(answer: dict[str, Any]) -> dict[str, list[str] | None]:
    return {one["connector"]: one.get("not_stated") for one in answer["refusals"]}


def test_what_a_listing_does_not_state_leaves_it_unproven_and_no_option():
    answer = answered(
        catalogue=shelf({key: value for key, value in SILENT.items() if key != "places"}), place={"exposure": "damp"}
    )
    assert answer["outcome"] == "no-connector"
    assert answer["counts"]["unproven"] == 1
    (refusal,) = answer["refusals"]
    assert refusal["not_stated"] == ["places"]
    assert "not stated by its listing; look for words such as damp, wet" in refusal["because"][0]["says"]


def test_what_a_listing_denies_is_refused_beside_what_it_does_not_state():
    answer = answered(catalogue=shelf({**SILENT, "volts": "30 V"}, {**LEVER, "volts": "30 V"}), circuit={"volts": 120})
    assert refusals(answer) == {"shell": None, "lever": None}
    assert "unproven" not in answer["counts"]


def test_a_catalogue_that_says_so_denies_what_it_leaves_out():
    plain = {**shelf(SILENT), "unstated": "no"}
    answer = answered(catalogue=plain, joint={"purpose": "cap", "conductors": [{"size": "14 AWG"}]})
    assert refusals(answer) == {"shell": None}


def test_a_check_of_what_is_not_stated_is_unproven():
    own = shelf({key: value for key, value in LEVER.items() if key != "places"})
    asked = {**JOINT, "catalogue": own, "place": {"exposure": "damp"}}
    for proposal in ({"connector": "lever"}, {"method": "lever"}):
        checked = check_splice({**asked, "proposal": {**proposal, "tugged": True}}, CHOOSER)
        assert checked["verdict"] == "unproven"
        assert any("places" in point["says"] or point.get("connectors") for point in checked["unproven"])
    denied = check_splice({**asked, "catalogue": shelf(LEVER), "proposal": {"connector": "lever"}}, CHOOSER)
    assert denied["verdict"] == "unsound"


# --- amperes -------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("amps", "circuit", "refused_by"),
    [
        ("20 A", {"amps": 15}, None),
        ("14.9 A", {"amps": 15}, "ratings/connector-marked-for-the-load"),
        ("15 A", {"amps": 10, "overcurrent_amps": 15}, None),
        ("14 A", {"amps": 10, "overcurrent_amps": 15}, "ratings/connector-marked-for-the-device"),
        (None, {"amps": 15, "overcurrent_amps": 15}, None),
        ([{"from": "14 AWG", "to": "14 AWG", "amps": "10 A"}], {"amps": 15}, "ratings/connector-marked-for-the-load"),
        ([{"from": "12 AWG", "to": "12 AWG", "amps": "10 A"}], {"amps": 15}, None),
    ],
)
def test_amperes_of_its_own_are_held_against_load_and_device(amps, circuit, refused_by):
    marked = listing(**{**LEVER, "amps": amps})
    other = {**SHELL, "amps": "40 A"}
    answer = answered(catalogue=shelf(marked, other), circuit=circuit)
    because = {one["connector"]: [reason["rule"] for reason in one["because"]] for one in answer["refusals"]}
    assert because.get("lever") == ([refused_by] if refused_by else None)
    assert "shell" not in because


def test_conductors_in_parallel_share_load_and_device():
    large = {"count": 3, "stranded": {"from": "1/0 AWG", "to": "250 kcmil"}}
    lug = listing(id="lug", method="set-screw", takes=[ports(large)], amps="200 A", **SAYS_ALL)
    conductors = [{"size": "3/0 AWG", "count": 2, "construction": "stranded", "parallel": 2}]
    asked = {"joint": {"conductors": conductors}, "circuit": {"kind": "feeder", "amps": 380, "overcurrent_amps": 400}}
    assert answered(catalogue=shelf(lug), **asked)["refusals"] == []
    weaker = answered(catalogue=shelf({**lug, "amps": "199 A"}), **asked)
    assert [reason["rule"] for one in weaker["refusals"] for reason in one["because"]] == [
        "ratings/connector-marked-for-the-device"
    ]


def test_amperes_are_not_asked_where_no_listing_states_any():
    loaded = {"circuit": {"amps": 15, "overcurrent_amps": 15}}
    more = answered(catalogue=shelf({**SHELL, "amps": "20 A"}), **loaded)["counts"]["demands"]
    assert more == answered(catalogue=shelf(SHELL), **loaded)["counts"]["demands"] + 2


@pytest.mark.parametrize(
    ("more", "pointer"),
    [
        ({"reusable": True, "irreversible": True}, "/catalogue/connectors/1/reusable"),
        ({"torque": "9 lbf-in", "tool": "none"}, "/catalogue/connectors/1/tool"),
        ({"method": "push-in", "takes": [ports(port(3, "4 AWG", "2 AWG"))]}, "/catalogue/connectors/1/takes"),
        (
            {"takes": [combinations({"14 AWG": "2 to 13"}, {"16 AWG": "2 to 4"})]},
            "/catalogue/connectors/1/takes/0/combinations/0/14 AWG",
        ),
    ],
)
def test_what_contradicts_itself_in_it_is_refused_at_its_place(more: dict[str, Any], pointer: str):
    wrong = shelf(LEVER, {**SHELL, **more})
    for _ in range(2):  # what is refused is not kept
        with pytest.raises(Refused) as raised:
            answered(catalogue=wrong)
        assert [problem.pointer for problem in raised.value.problems] == [pointer]


def test_a_day_to_come_is_refused_on_no_day():
    shell = {**SHELL, "source": {"document": "carton", "read_on": "2999-01-01"}}
    assert answered(catalogue=shelf(shell))["options"]
