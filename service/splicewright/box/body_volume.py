"""The room that connectors' bodies take. The code counts none of it: what is said here is practice."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from splicewright.box.joints import Decided
from splicewright.box.volume import Volume, block, total
from splicewright.tables.boxes import bodies_share
from splicewright.units import whole

if TYPE_CHECKING:  # a box without joints need not load the engine
    from splicewright.answering import Chooser
    from splicewright.catalogue.model import Connector


@dataclass(frozen=True, slots=True)
class Bodies:
    """The bodies of each joint's first choice, as blocks of their outside dimensions."""

    count: int
    volume: Volume
    size_unknown: tuple[str, ...]  # ids of connectors whose dimensions the catalogue does not give

    def crowd(self, left: Volume) -> bool:
        """Say whether they take more than practice allows of the volume that the count leaves."""
        return self.volume > left * bodies_share()

    def to_dict(self) -> dict[str, Any]:
        """Give {connector_count, volume, size_unknown}."""
        return {"connector_count": self.count, "volume": self.volume.to_dict(), "size_unknown": list(self.size_unknown)}


def bodies_of(decided: Iterable[Decided], chooser: Chooser) -> Bodies:
    """Add up the bodies of the first choices."""
    first = [chooser.catalogue(one.catalogue).connector(one.first) for one in decided if one.first]
    known = [body for one in first if (body := body_of(one)) is not None]
    unknown = {one.id for one in first if body_of(one) is None}
    return Bodies(len(known), total(known), tuple(sorted(unknown)))


def body_of(connector: Connector) -> Volume | None:
    """Give the block of a connector's outside dimensions; None where the listing has none."""
    outside = connector.printed.get("outside")
    return None if outside is None else block(*(whole(one["value"], one["unit"]) for one in outside))
