"""The few types that cover most joints: as many as any choice of so many covers."""

from __future__ import annotations

import itertools
from pathlib import Path

import pytest

from splicewright.catalogue import load_catalogue
from splicewright.faults import Faults
from splicewright.shelf import cover as module
from splicewright.shelf.cover import Cover, find_cover
from splicewright.shelf.evaluation import Shelf
from splicewright.shelf.joints import joints_in
from tests.catalogue.making import listing, port, ports
from tests.shelf.files import chooser, held, job, joint

_EXAMPLES = str(Path(__file__).parents[2] / "openapi" / "examples")
_SOUND = {"volts": "600 V", "degrees": "90 degC", "insulated": True}
_TYPES = [
    listing(
        id=name, takes=[ports(port(2, size, size, stranded={"from": size, "to": size})) for size in sizes], **_SOUND
    )
    for name, sizes in {
        "a": ("14 AWG", "12 AWG"),
        "b": ("12 AWG", "10 AWG"),
        "c": ("14 AWG", "10 AWG", "6 AWG"),
        "d": ("8 AWG",),
    }.items()
]
_JOINTS = [
    joint("14 AWG", 2, quantity=5),
    joint("12 AWG", 2, quantity=4),
    joint("10 AWG", 2, quantity=3),
    joint("8 AWG", 2, quantity=2),
    joint("6 AWG", 2),
    joint("4 AWG", 2, quantity=9),
]


def cover(tmp_path: Path, most: int, *carry: str) -> Cover:
    return find_cover(*held(job(tmp_path, *_JOINTS), *_TYPES), most, carry)


@pytest.mark.parametrize("most", range(5))
def test_no_other_choice_covers_more(tmp_path: Path, most: int) -> None:
    shelf, joints = held(job(tmp_path, *_JOINTS), *_TYPES)
    ids = [one.id for one in shelf.catalogue.connectors]
    best = max(
        sum(one.joint.count for one in joints if set(one.options) & set(some))
        for some in itertools.combinations(ids, most)
    )
    found = find_cover(shelf, joints, most)
    assert (found.covered, found.proven) == (best, True)
    assert len(found.added) <= most


def test_what_is_carried_counts_and_is_not_chosen_again(tmp_path: Path) -> None:
    found = cover(tmp_path, 1, "a")
    assert dict(found.carried) == {"a": 9}
    assert dict(found.added) == {"c": 4}


def test_what_stays_open_is_told_most_first(tmp_path: Path) -> None:
    told = cover(tmp_path, 1).to_dict()["uncovered"]
    assert [one["quantity"] for one in told] == [9, 3, 2, 1]
    assert "outcome" in told[0]
    assert told[1]["best"] == "b"


def test_type_that_is_not_known_is_refused_with_the_nearest(tmp_path: Path) -> None:
    with pytest.raises(Faults, match="not known"):
        cover(tmp_path, 1, "aa")


def test_choice_that_is_not_proven_says_so(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(module, "WORK", 1)
    found = cover(tmp_path, 2)
    assert not found.proven
    assert found.covered <= found.at_most <= found.coverable
    assert found.covered == 13


def test_no_joint_with_an_option_is_covered_by_nothing(tmp_path: Path) -> None:
    found = find_cover(*held(job(tmp_path, joint("4 AWG", 2)), *_TYPES), 3)
    assert (found.added, found.covered, found.proven) == ((), 0, True)


def test_shop_covers_the_examples_with_few_types() -> None:
    shelf = Shelf(load_catalogue("shop"), chooser())
    found = find_cover(shelf, shelf.hold(joints_in([_EXAMPLES])), 4)
    assert found.proven
    assert found.covered == found.coverable
