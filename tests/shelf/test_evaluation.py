"""Joints held against a shelf, whatever catalogue they name."""

from __future__ import annotations

from pathlib import Path

import pytest

from splicewright.faults import Faults
from tests.catalogue.making import combinations, listing, port, ports
from tests.shelf.files import held, job, joint

_SOUND = {"volts": "600 V", "degrees": "90 degC", "insulated": True}


def test_joint_is_held_against_the_shelf_and_not_what_it_names(tmp_path: Path) -> None:
    _, (one,) = held(job(tmp_path, joint("14 AWG", 2)), listing(id="mine", **_SOUND))
    assert one.options == ("mine",)


def test_what_is_narrowed_to_and_not_on_the_shelf_is_told_with_its_place(tmp_path: Path) -> None:
    path = tmp_path / "q.yaml"
    path.write_text("joint: {conductors: [{size: 14 AWG, count: 2}]}\nonly: {connectors: [lever-2-port]}\n")
    with pytest.raises(Faults, match=r"q\.yaml:1: /only/connectors/0: .*lever-2-port"):
        held(str(path), listing(id="mine", **_SOUND))


def by_metal(count: str, most: str) -> dict[str, object]:
    """Give a group of one total of metal."""
    total = {"from": f"1 {most.split()[1]}", "to": most, "count": count, "thinnest": "18 AWG", "thickest": "10 AWG"}
    return {"materials": ["copper"], "constructions": ["solid"], "metal": [total]}


@pytest.mark.parametrize(
    ("takes", "off"),
    [
        (combinations({"14 AWG": "2 to 4"}), 1.0),
        (combinations({"14 AWG": 2}), 2.0),
        (ports(port(8, "18 AWG", "14 AWG")), 2.0),
        (ports(port(2, "18 AWG", "14 AWG", conductors=2)), 1.0),
        (by_metal("2 to 8", "9 mm2"), 2.0),
        (by_metal("2 to 4", "26.5 kcmil"), pytest.approx(26.5 / (4 * 4.11), rel=0.01)),
    ],
)
def test_how_far_a_joint_is_from_the_most_that_is_taken(tmp_path: Path, takes: dict[str, object], off: float) -> None:
    shelf, (one,) = held(job(tmp_path, joint("14 AWG", 4)), listing(id="mine", takes=[takes]))
    assert shelf.off("mine", one) == off
