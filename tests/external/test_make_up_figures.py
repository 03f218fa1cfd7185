"""Default torques against NFPA 70, Informative Annex I, and strip lengths against the habits of the trade."""

from __future__ import annotations

import pytest

from splicewright.tables.loader import table
from tests.external.published import cited, published

TORQUE, STRIP = published("torque"), published("strip_lengths")
SCREWS, DRIVES = TORQUE["screws"], TORQUE["recessed_drive"]
HEADS = ("slot_small", "slot_large", "hex_split_bolt", "hex_other")
METHODS = [
    pytest.param(method, entry["mm"], id=cited(entry["source"], method))
    for entry in STRIP["ranges"]
    for method in entry["methods"]
]


def source_of(sizes, head):
    memory = SCREWS["from_memory"]
    return (memory if head == "hex_other" and sizes in memory["sizes"] else SCREWS)["source"]


CELLS = [
    pytest.param(sizes, head, id=cited(source_of(sizes, head), sizes, head))
    for sizes in SCREWS["rows"]
    for head in HEADS
]


def screws():
    return {row["sizes"]: row for row in table("torque").rows["screws"]}


@pytest.mark.parametrize(("sizes", "head"), CELLS)
def test_a_screw_has_its_published_torque(sizes, head):
    assert screws()[sizes].get(head) == SCREWS["rows"][sizes].get(head)


def test_the_rows_are_those_published_in_their_order():
    """Source: NFPA 70 2023, Informative Annex I, table I.1 (page)."""
    assert list(screws()) == list(SCREWS["rows"])


def test_rows_not_confirmed_on_a_page_say_so():
    """Source: NFPA 70 2023, Informative Annex I, table I.1 (memory)."""
    assert [sizes for sizes, row in screws().items() if "obtained" in row] == SCREWS["from_memory"]["sizes"]


@pytest.mark.parametrize("across", DRIVES["rows"], ids=lambda across: cited(DRIVES["source"], across))
def test_a_recessed_drive_has_its_published_torque(across):
    assert table("torque").rows["recessed_drive"][across] == DRIVES["rows"][across]


def test_no_recessed_drive_is_entered_that_was_not_published():
    """Source: NFPA 70 2023, Informative Annex I, table I.3 (page)."""
    assert set(table("torque").rows["recessed_drive"]) == set(DRIVES["rows"])


@pytest.mark.parametrize("head", HEADS)
def test_a_larger_conductor_never_asks_for_less_torque(head):
    """Source: NFPA 70 2023, Informative Annex I, table I.1 (page)."""
    torques = [row[head] for row in screws().values() if head in row]
    assert torques == sorted(torques)


@pytest.mark.parametrize(("method", "habit"), METHODS)
def test_a_strip_length_lies_within_the_habit_of_the_trade(method, habit):
    entered = table("strip-lengths").rows["methods"][method]
    assert habit[0] <= entered["least"] <= entered["most"] <= habit[1]


def test_pre_twisted_ends_are_no_shorter_than_others():
    """Source: common practice, twist and trim (page)."""
    methods = table("strip-lengths").rows["methods"]
    assert methods["twist-on pre-twisted"]["least"] == STRIP["pre_twisted"]["least"] == methods["twist-on"]["most"]


def test_every_strip_length_entered_was_compared_with_a_habit():
    """Source: those of the data file; this says that no row of the table went unchecked."""
    compared = {method for entry in STRIP["ranges"] for method in entry["methods"]} | {"twist-on pre-twisted"}
    assert set(table("strip-lengths").rows["methods"]) == compared


def test_strip_lengths_are_no_code():
    """Source: common practice (page): the connector's own instructions always win."""
    assert table("strip-lengths").source == "common-practice"
