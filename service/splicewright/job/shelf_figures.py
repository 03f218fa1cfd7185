"""What a takeoff comes to by what the catalogue says of the user's own shelf: on hand, packs, prices, minutes.

What the catalogue does not say is unknown, and never taken for nothing.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from decimal import Decimal
from typing import Any, NamedTuple

from splicewright.answering import Chooser
from splicewright.job.model import Plain


class ShelfLine(NamedTuple):
    """A line of the takeoff by the shelf's figures. None: not known."""

    connector: str
    on_hand: int | None
    to_buy: int  # connectors, spares among them, less what is on hand where that is known; whole packs where known
    pack: int | None
    packs: int | None
    price: float | None  # of a pack, or of one where there is no pack
    cost: float | None
    minutes: float | None  # of all joints made with it


def catalogue_used(answer: Plain, job: Any, chooser: Chooser) -> tuple[Chooser, str]:
    """Give who knows the catalogue that a job was answered from, and its name there: it may stand in the job itself."""
    asking, given = chooser.with_own_catalogue(job)
    said = given.get("catalogue") if isinstance(given, Mapping) else None
    return asking, said if isinstance(said, str) else answer["catalogue"]["name"]


def shelf_lines(answer: Plain, job: Any, chooser: Chooser) -> list[ShelfLine]:
    """Reckon the takeoff of a job's answer by what the catalogue that it was made with says."""
    asking, name = catalogue_used(answer, job, chooser)
    facts = {connector.id: connector.facts for connector in asking.catalogue(name).connectors}
    return [shelf_line(line, facts[line["connector"]]) for line in answer["takeoff"]]


def shelf_line(line: Plain, facts: Mapping[str, Any]) -> ShelfLine:
    """Reckon a line of the takeoff. `facts` are the catalogue's of the connector; prices of the job are stronger."""
    on_hand, pack, price = (facts.get(key) for key in ("on_hand", "pack", "price"))
    lacking = max(0, line["count"] + line["spare_count"] - (on_hand or 0))
    if "bought_count" in line:  # the job says what it costs, and how it is packed
        pack = line.get("per_pack")
        packs = line.get("pack_count", line["bought_count"])
        price = float(Decimal(str(line["cost"])) / packs) if packs else None
    packs = -(-lacking // pack) if pack else None
    to_buy = packs * pack if packs is not None and pack else lacking
    units = to_buy if packs is None else packs
    cost = None if price is None else float(Decimal(str(price)) * units)
    minutes = facts.get("minutes")
    spent = None if minutes is None else float(Decimal(str(minutes)) * line["count"])
    return ShelfLine(line["connector"], on_hand, to_buy, pack, packs, price, cost, spent)


def summed(lines: Sequence[ShelfLine], what: str) -> tuple[float, int]:
    """Give the sum of what is known of a figure, and of how many lines it is not known."""
    known = [value for line in lines if (value := getattr(line, what)) is not None]
    return round(sum(known), 4), len(lines) - len(known)
