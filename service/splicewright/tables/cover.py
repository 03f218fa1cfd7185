"""Minimum cover over buried wiring."""

from __future__ import annotations

from typing import TYPE_CHECKING

from splicewright.tables.loader import table

if TYPE_CHECKING:
    from splicewright.question.model import Question


def required_cover(question: Question) -> int | None:
    """Give the cover in inches that the table asks for; None where it has no figure. Source: rulesets/tables/cover.yaml.

    The column follows from the wiring method; where a lighter column's conditions are met too, the lesser depth holds.
    """
    rows = table("cover").rows
    row = rows["inches"][question.place.cover]
    columns = [column for column, needs in rows["columns"].items() if _meets(question, needs)]
    found = [row[column] for column in columns]
    return min(found) if found else None


def _meets(question: Question, needs: dict[str, object]) -> bool:
    place, circuit = question.place, question.circuit
    known = {
        "wiring": place.wiring,
        "dwelling": place.dwelling,
        "gfci": circuit.gfci,
        "kind": circuit.kind,
    }
    limits = {"volts_at_most": circuit.volts, "overcurrent_at_most": circuit.overcurrent_amps}
    for key, wanted in needs.items():
        if key in limits:
            given = limits[key]
            if given is None or given > float(str(wanted)):
                return False
        elif known[key] != wanted and not (isinstance(wanted, list) and known[key] in wanted):
            return False
    return True
