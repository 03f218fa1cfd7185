"""What a takeoff comes to by what the catalogue says of the user's own shelf: on hand, packs, prices, minutes.

What the catalogue does not say is unknown, and never taken for nothing: it is left out, or named.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from decimal import Decimal
from typing import Any

from splicewright.answering import Chooser
from splicewright.job.model import Plain

_SUMMED = ("cost", "minutes")


def catalogue_used(answer: Plain, job: Any, chooser: Chooser) -> tuple[Chooser, str]:
    """Give who knows the catalogue that a job was answered from, and its name there: it may stand in the job itself."""
    asking, given = chooser.with_own_catalogue(job)
    said = given.get("catalogue") if isinstance(given, Mapping) else None
    return asking, said if isinstance(said, str) else answer["catalogue"]["name"]


def with_shelf(line: Mapping[str, Any], facts: Mapping[str, Any]) -> Plain:
    """Give a line of the takeoff, and under `shelf` what it comes to by the catalogue's `facts` of its connector.

    Prices and packs of the job are stronger. `price` is that of a pack, or of one where no pack is known; `minutes` are
    those of all joints made with it.
    """
    on_hand, pack, price = (facts.get(key) for key in ("on_hand", "pack", "price"))
    lacking = max(0, line["count"] + line["spare_count"] - (on_hand or 0))
    if "bought_count" in line:  # the job says what it costs, and how it is packed
        pack = line.get("per_pack")
        packs = line.get("pack_count", line["bought_count"])
        price = float(Decimal(str(line["cost"])) / packs) if packs else None
    packs = -(-lacking // pack) if pack else None
    to_buy = packs * pack if packs is not None and pack else lacking
    units = to_buy if packs is None else packs
    minutes = facts.get("minutes")
    figures = {
        "on_hand": on_hand,
        "to_buy_count": to_buy,
        "per_pack": pack,
        "pack_count": packs,
        "price": price,
        "cost": None if price is None else float(Decimal(str(price)) * units),
        "minutes": None if minutes is None else float(Decimal(str(minutes)) * line["count"]),
    }
    return {**line, "shelf": {key: value for key, value in figures.items() if value is not None}}


def shelf_in_all(lines: Sequence[Mapping[str, Any]]) -> Plain:
    """Sum what lines cost and how many minutes they take: what is known of it, and of which connectors it is not."""
    found: Plain = {}
    for what in _SUMMED:
        known = [line["shelf"][what] for line in lines if what in line["shelf"]]
        without = [line["connector"] for line in lines if what not in line["shelf"]]
        if known or not without:
            found[what] = round(sum(known), 4)
        found[f"without_{what}"] = without
    return found
