from __future__ import annotations

import gc
from collections.abc import Callable, Iterator

import pytest

from splicewright.answering import Chooser
from splicewright.answering.chooser import settle

pytestmark = pytest.mark.slow


@pytest.fixture(autouse=True)
def as_before(monkeypatch: pytest.MonkeyPatch, unfreeze: Callable[[], None]) -> Iterator[None]:
    monkeypatch.setattr(gc, "unfreeze", unfreeze)
    threshold = gc.get_threshold()
    yield
    gc.set_threshold(*threshold)


def test_what_rules_are_made_of_is_left_out_of_later_collections() -> None:
    chooser = Chooser()
    chooser.warm_up()
    rules = chooser.engine("nfpa70-2023").rulebook.rules
    assert gc.get_freeze_count() > 0
    assert not any(one is rules[0] for one in gc.get_objects())


def test_cycles_left_by_former_rules_are_collected_when_it_settles_again() -> None:
    class Cycle:
        ended = 0

        def __del__(self) -> None:
            Cycle.ended += 1

    one = Cycle()
    one.itself = one  # type: ignore[attr-defined]
    settle()
    del one
    gc.collect()
    assert Cycle.ended == 0
    settle()
    assert Cycle.ended == 1
