"""What the trade heeds about room in a box. Source: rulesets/tables/box-practice.yaml."""

from __future__ import annotations

from fractions import Fraction

from splicewright.answer_forms import source_plain
from splicewright.tables.loader import table

#: What every sentence of this table rests on.
PRACTICE = source_plain(None)


def bodies_share() -> Fraction:
    """Give the share of the volume left that the bodies of connectors may take."""
    return Fraction(str(table("box-practice").rows["crowding"]["share_of_left"]))


def crowded_says(**places: object) -> str:
    """Give the caution where they take more. Places: count, bodies, left."""
    return str(table("box-practice").rows["crowding"]["says"]).format(**places)


def practice_says(name: str, **places: object) -> str:
    """Give the sentence called `name` (without its `_says`) with its places filled in."""
    return str(table("box-practice").rows[f"{name}_says"]).format(**places)


def settled_by_fill() -> str:
    """Give the concern that the fill of a box settles, for the box and for each joint in it."""
    return str(table("box-practice").rows["settles"])
