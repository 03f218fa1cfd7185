"""Minimum cover over buried wiring. Source: rulesets/tables/cover.yaml."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from splicewright.tables.loader import table


@dataclass(frozen=True, slots=True)
class Run:
    """A run of wiring in the ground, as far as the table asks. Numbers that were not stated are None."""

    cover: str
    wiring: str
    dwelling: bool
    kind: str
    gfci: bool
    volts: float | None
    overcurrent_amps: float | None


def required_cover(run: Run, unit: str = "in") -> int:
    """Give the cover that the table asks for, in the table's own figures for `unit` (`in` or `mm`).

    The column follows from the wiring method; where a lighter column's conditions are met too, the lesser
    depth holds. A number that was not stated meets no condition.
    """
    return _least(run, unit, unstated=False)


def least_cover(run: Run, unit: str = "in") -> int:
    """Give the cover that the table would ask for if each number not stated met a lighter column's limit."""
    return _least(run, unit, unstated=True)


def _least(run: Run, unit: str, *, unstated: bool) -> int:
    rows = table("cover").rows
    row: dict[str, int] = rows[unit][run.cover]
    return min(row[column] for column, needs in rows["columns"].items() if _meets(run, needs, unstated=unstated))


def _meets(run: Run, needs: dict[str, Any], *, unstated: bool) -> bool:
    words = {"wiring": run.wiring, "dwelling": run.dwelling, "gfci": run.gfci, "kind": run.kind}
    limits = {"volts_at_most": run.volts, "overcurrent_at_most": run.overcurrent_amps}
    for key, wanted in needs.items():
        if key in words:
            good = words[key] in wanted if isinstance(wanted, list) else words[key] == wanted
        else:
            given = limits[key]
            good = unstated if given is None else given <= wanted
        if not good:
            return False
    return True
