"""How much free conductor is left at a box. Source: rulesets/tables/free-length.yaml."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from splicewright.tables.loader import table


@dataclass(frozen=True, slots=True)
class FreeLength:
    """The code's own figures in one unit (`in` or `mm`)."""

    unit: str
    free: int
    outside: int
    opening_below: int
    loop: int  # the least length of an unbroken loop that counts twice


def free_length(unit: str) -> FreeLength:
    """Give the figures in a unit."""
    rows = table("free-length").rows
    row = rows[unit]
    return FreeLength(unit, row["free"], row["outside"], row["opening_below"], rows["loop"] * row["free"])


def standard_opening() -> str:
    """Give the kind of opening that every standard box has: `small`, which is below the limit, or `large`."""
    return str(table("free-length").rows["standard_boxes"])


def free_length_says(opening: str, unit: str) -> str:
    """Give in words what an opening (`small`, `large`, `unknown`) asks for."""
    figures = free_length(unit)
    places = {name: f"{getattr(figures, name)} {unit}" for name in ("free", "outside", "opening_below")}
    return str(table("free-length").rows["says"][opening].format(**places))


def free_length_source(code: str) -> dict[str, Any]:
    """Give what the figures rest on in a code edition. Raises KeyError for one that was not read."""
    return table("free-length").cited(code)
