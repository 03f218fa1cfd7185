"""What CPSC Publication 516 counts as a permanent repair is what is offered for old aluminum branch wiring."""

from __future__ import annotations

import pytest

from splicewright import choose
from tests.external.published import cited, published

DATA = published("aluminum_repair")
JOINTS = {
    "copper tail": [
        {"size": "12 AWG", "material": "copper", "insulation": "THHN"},
        {"size": "12 AWG", "material": "aluminum", "insulation": "TW"},
    ],
    "aluminum to aluminum": [{"size": "12 AWG", "count": 2, "material": "aluminum", "insulation": "TW"}],
    "10 AWG aluminum with a copper tail": [
        {"size": "12 AWG", "material": "copper", "insulation": "THHN"},
        {"size": "10 AWG", "material": "aluminum", "insulation": "TW"},
    ],
}


def answer(joint: str, wiring_age: str = "aluminum-branch"):
    return choose({"joint": {"conductors": JOINTS[joint]}, "work": {"wiring_age": wiring_age}, "limit": 100})


@pytest.mark.parametrize("joint", JOINTS, ids=lambda joint: cited(DATA["source"], joint))
def test_only_permanent_repairs_are_offered(joint):
    accepted = {one["method"] for one in DATA["permanent"]}
    offered = {option["method"] for option in answer(joint)["options"]}
    assert offered
    assert offered <= accepted


@pytest.mark.parametrize("row", DATA["permanent"], ids=lambda row: cited(DATA["source"], row["method"]))
def test_each_accepted_kind_is_offered_for_a_copper_tail(row):
    assert row["method"] in {option["method"] for option in answer("copper tail")["options"]}


@pytest.mark.parametrize("row", DATA["not_permanent"], ids=lambda row: cited(DATA["source"], row["method"]))
@pytest.mark.parametrize("joint", JOINTS)
def test_what_is_not_accepted_is_refused_for_that_reason(joint, row):
    refused = [refusal for refusal in answer(joint)["refusals"] if refusal["method"] == row["method"]]
    assert refused
    for one in refused:
        assert any(reason["rule"].startswith("metal-compatibility/") for reason in one["because"])


def test_that_the_code_itself_allows_more_is_told():
    assert "metal-compatibility/code-allows-more-on-old-aluminum" in {
        caution["rule"] for caution in answer("copper tail")["cautions"]
    }


def test_new_wiring_is_not_held_to_the_publication():
    assert "twist-on" in {option["method"] for option in answer("copper tail", "new")["options"]}
