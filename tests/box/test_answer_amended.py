"""Under amendments a box tells by which rules its joints were answered, and what these took out."""

from __future__ import annotations

from typing import Any

from splicewright.answering import Chooser
from splicewright.box import fill_box

WIRES = [{"size": "14 AWG", "count": 3}]
PLAIN = {"joint": {"conductors": [{"size": "14 AWG", "count": 3}]}}
SALT = {**PLAIN, "place": {"corrosion": ["salt-air"], "exposure": "damp"}}


def test_what_was_taken_out_is_told_once_with_how_many_joints() -> None:
    given: dict[str, Any] = {"amendments": ["coastal-county"], "wires": WIRES, "joints": [PLAIN, SALT]}
    told = fill_box(given, Chooser())
    assert told["rulesets"] == {"code": told["code"], "amendments": ["coastal-county"]}
    counts: dict[str, int] = {}
    for joint in told["joints"]:
        for one in joint["amended"]:
            counts[one["rule"]] = counts.get(one["rule"], 0) + 1
    assert {one["rule"]: one["joint_count"] for one in told["amended"]} == counts
    assert counts["environment/sealed-against-sea-and-pool-air"] == 1


def test_a_box_without_joints_tells_by_which_rules_it_was_reckoned() -> None:
    assert fill_box({"code": "nfpa70-2020", "wires": WIRES})["rulesets"] == {"code": "nfpa70-2020", "amendments": []}
    assert "amended" not in fill_box({"wires": WIRES})
    told = fill_box({"wires": WIRES, "amendments": ["house-rules"]}, Chooser())
    assert (told["amended"], told["rulesets"]["amendments"]) == ([], ["house-rules"])
