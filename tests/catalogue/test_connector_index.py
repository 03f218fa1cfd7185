from __future__ import annotations

import random
import threading

import pytest

from splicewright.catalogue import Catalogue, connector_index, fill, load_catalogue
from splicewright.catalogue.connector_index import ConnectorIndex
from splicewright.catalogue.model import shape_of
from splicewright.rulebook.model import ListingTest
from tests.oracle.questions import random_question


@pytest.fixture(scope="module")
def catalogue() -> Catalogue:
    return load_catalogue("shop")


def joints(count: int) -> list:
    rng = random.Random(4)
    return [random_question(rng).joint for _ in range(count)]


def taking(catalogue: Catalogue, joint: object) -> int:
    return sum(fill(connector, joint).fits << at for at, connector in enumerate(catalogue.connectors))


def test_those_that_fit_are_those_whose_listing_takes_the_joint(catalogue: Catalogue) -> None:
    index, rng = ConnectorIndex(catalogue), random.Random(5)
    for joint in joints(60) * 2:
        among = rng.getrandbits(len(catalogue.connectors))
        assert index.fitting(shape_of(joint), among) == taking(catalogue, joint) & among


def test_fills_are_those_of_the_connectors_asked_about(catalogue: Catalogue) -> None:
    index, (joint,) = ConnectorIndex(catalogue), joints(1)
    _, fills = index.judged(shape_of(joint), 0b1011)
    assert fills == {at: fill(catalogue.connectors[at], joint) for at in (0, 1, 3)}


def test_places_are_those_of_the_bits(catalogue: Catalogue) -> None:
    index, rng = ConnectorIndex(catalogue), random.Random(6)
    asked = [rng.getrandbits(len(catalogue.connectors)) for _ in range(10)]
    for bits in [0, *asked, *asked]:
        assert index.places(bits) == tuple(at for at in range(len(catalogue.connectors)) if bits >> at & 1)


def test_threads_that_ask_about_one_joint_lose_nothing_of_each_other(catalogue: Catalogue) -> None:
    asked = joints(30)
    expected = [taking(catalogue, joint) for joint in asked]
    index, wrong = ConnectorIndex(catalogue), []

    def ask(seed: int) -> None:
        rng = random.Random(seed)
        for _ in range(200):
            at, among = rng.randrange(30), rng.getrandbits(len(catalogue.connectors))
            if index.fitting(shape_of(asked[at]), among) != expected[at] & among:
                wrong.append(at)

    threads = [threading.Thread(target=ask, args=(seed,)) for seed in range(6)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert wrong == []


def test_only_so_many_shapes_are_remembered(catalogue: Catalogue, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(connector_index, "REMEMBERED_SHAPES", 3)
    index = ConnectorIndex(catalogue)
    shapes = [shape_of(joint) for joint in joints(20)]
    judged = [index.judged(shape, index.everything) for shape in shapes]
    # What was forgotten is still whole for whoever was told it before.
    for (fitting, fills), joint in zip(judged, joints(20), strict=True):
        assert fitting == taking(catalogue, joint)
        assert fills.keys() == set(range(len(catalogue.connectors)))
    assert sum(bool(index.judged(shape, 0)[1]) for shape in reversed(shapes)) <= 3


def test_passing_all_is_passing_each(catalogue: Catalogue) -> None:
    index = ConnectorIndex(catalogue)
    tests = [ListingTest("reusable", "any-of", (True,)), ListingTest("volts", "at-least", (3000,))]
    assert index.passing_all(tests) == index.passing(tests[0]) & index.passing(tests[1])
    assert index.passing_all([]) == index.everything
