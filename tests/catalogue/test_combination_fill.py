"""What combinations make of a joint is in `test_fill.py`; here, that no more of it is kept than so much."""

from __future__ import annotations

import pytest

from splicewright.catalogue import combination_fill
from splicewright.catalogue.combination_fill import CombinationFill
from splicewright.catalogue.model import shape_of
from tests.catalogue.making import combinations, connector, joint


@pytest.mark.parametrize(("bound", "indexed"), [(1, 3), (2, 2)])
def test_what_is_indexed_is_bounded(monkeypatch: pytest.MonkeyPatch, bound: int, indexed: int) -> None:
    made = []
    index = combination_fill.Index
    monkeypatch.setattr(combination_fill, "MOST_KEPT", bound)
    monkeypatch.setattr(combination_fill, "Index", lambda taking: made.append(taking) or index(taking))
    listed = connector(combinations({"12 AWG stranded": 2}, {"14 AWG solid": 2}))
    judge = CombinationFill(listed.takes[0].combinations)
    for conductors in ("2 x 12 AWG stranded", "2 x 14 AWG solid", "2 x 12 AWG stranded"):
        found = judge(shape_of(joint(conductors)))
        assert found
        assert found.basis == "listed"
    assert len(made) == indexed
