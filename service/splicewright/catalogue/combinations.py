"""Fill by listed combinations, of all groups of a connector together.

Only combinations that take a joint's kinds of conductor count. They are picked out and indexed (index.py)
once for each set of kinds that joints turn out to have.
"""

from __future__ import annotations

from collections.abc import Iterable

from splicewright.catalogue.index import Index, size_order
from splicewright.catalogue.model import Combination
from splicewright.catalogue.outcome import Fill
from splicewright.catalogue.placing import takes_kinds
from splicewright.catalogue.shape import Shape

_MOST_KEPT = 256


class CombinationFill:
    """Judges joints by the combinations of one connector, of all its groups together."""

    def __init__(self, combinations: Iterable[Combination]) -> None:
        """Index nothing yet: that is done for the kinds of conductor that joints turn out to have."""
        self._all = sorted(combinations, key=size_order)
        self._picky = any(not one.uniform for one in self._all)
        self._by_kinds: dict[int | tuple[int, ...], Index | None] = {}
        self._by_members: dict[tuple[Combination, ...], Index] = {}

    def __call__(self, shape: Shape) -> Fill | None:
        """Judge a joint. None where no combination takes conductors of its kinds."""
        key = shape.kinds if self._picky else shape.mask
        try:
            index = self._by_kinds[key]
        except KeyError:
            index = self._index(key, shape)
        return index.fill(shape) if index else None

    def _index(self, key: int | tuple[int, ...], shape: Shape) -> Index | None:
        if len(self._by_kinds) >= _MOST_KEPT:
            self._by_kinds.clear()
        taking = tuple(one for one in self._all if takes_kinds(one, shape))
        if taking and taking not in self._by_members:
            if len(self._by_members) >= _MOST_KEPT:
                self._by_members.clear()
            self._by_members[taking] = Index(taking)
        return self._by_kinds.setdefault(key, self._by_members.get(taking))
