"""Answers from a catalogue of one's own, with all that only such a one brings, are valid by the document's schemas."""

from __future__ import annotations

from typing import Any

import pytest

from splicewright import check_splice, choose, plan_job
from splicewright.catalogue import catalogue_of
from tests.catalogue.making import catalogue, listing, ports
from tests.contract.schemas import faults

SIZES = {"from": "14 AWG", "to": "2 AWG"}
TOTAL = {"from": "4 mm2", "to": "90 mm2", "count": "2 to 5", "thinnest": "14 AWG", "thickest": "2 AWG"}
TORQUES = [
    {"from": "14 AWG", "to": "8 AWG", "torque": "20 lbf-in"},
    {"from": "6 AWG", "to": "2 AWG", "torque": "4 N-m"},
]
SAID = {"volts": "600 V", "degrees": "90 degC", "insulated": True, "tool": "screwdriver", "method": "set-screw"}
SOURCE = {"document": "carton", "where": "side", "read_on": "2026-11-30", "read_by": "storekeeper"}
BUYING = {"part_number": "1", "pack": 50, "price": 9.5, "on_hand": 3, "minutes": 1.5, "source": SOURCE}
RUN = {"count": 3, "stranded": SIZES, "strip": "3/8 in", "torque": "20 lbf-ft"}
LUG = listing(id="lug", takes=[ports({"count": 3, "stranded": SIZES})], torque=TORQUES, strip="12 mm", **SAID, **BUYING)
AMPS = [{**SIZES, "materials": ["copper"], "amps": "40 A"}]
SHELF = catalogue(
    LUG,
    listing(id="run", takes=[ports(RUN, {"count": 1, "stranded": SIZES, "strip": "9 mm"})], amps=AMPS, **SAID),
    listing(
        id="bore",
        takes=[{"materials": ["copper"], "constructions": ["stranded"], "metal": [TOTAL]}],
        degrees="90 degC",
        sure=True,
    ),
)
ASKED: dict[str, Any] = {
    "joint": {"conductors": [{"size": of, "construction": "stranded"} for of in ("14 AWG", "6 AWG")]},
    "circuit": {"amps": 10, "overcurrent_amps": 15},
    "catalogue": SHELF,
}


@pytest.mark.parametrize("one", catalogue_of(SHELF).connectors, ids=lambda one: one.id)
def test_a_listing_is_valid(one: Any) -> None:
    assert faults("Connector", one.to_dict()) == []


def test_an_answer_is_valid() -> None:
    answer = choose(ASKED)
    assert faults("Answer", answer) == []
    options = {one["connector"]: one for one in answer["options"]}
    assert {"by_conductor", "source"} <= options["lug"].keys()
    assert any("ports" in row for row in options["run"]["by_conductor"])
    (bore,) = [one for one in answer["refusals"] if one["connector"] == "bore"]
    assert bore["not_stated"]
    assert answer["counts"]["unproven"] == 1


@pytest.mark.parametrize("proposal", [{"connector": "lug"}, {"connector": "bore"}])
def test_a_check_is_valid(proposal: dict[str, Any]) -> None:
    answer = check_splice({**ASKED, "proposal": proposal})
    assert faults("CheckAnswer", answer) == []
    assert answer["verdict"] == "unproven"


def test_a_job_is_valid() -> None:
    answer = plan_job({"catalogue": catalogue(LUG), "joints": [{"id": "a", "quantity": 2, "joint": ASKED["joint"]}]})
    assert faults("JobAnswer", answer) == []
    assert answer["takeoff"][0]["source"] == SOURCE
    assert answer["takeoff"][0]["shelf"].keys() == {
        "on_hand", "to_buy_count", "per_pack", "pack_count", "price", "cost", "minutes"
    }  # fmt: skip
