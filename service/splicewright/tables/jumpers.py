"""What jumpers are made of and how large they are. Sources: rulesets/tables/jumpers.yaml and the tables of ampacity."""

from __future__ import annotations

from typing import Any

from splicewright.codes import edition_of
from splicewright.tables.ampacity import COLUMNS, ampacity, device_limit, least_grounding
from splicewright.tables.loader import table
from splicewright.units import Size, size


def tail_metal(material: str) -> str | None:
    """Give the metal that a tail of a conductor may be of in place of its own; None where only its own will do."""
    found: str | None = table("jumpers").rows["tails"].get(material)
    return found


def suits_device(of: Size, material: str, role: str, device_amps: float, code: str) -> bool:
    """Say whether a jumper is large enough behind an overcurrent device by the table for its role.

    Where a code has no such table, or the role is sized by neither, it is for the rules to say: True.
    """
    rows = table("jumpers").rows
    if role in rows["grounding"] and table("grounding-conductors").holds_for(code):
        least = least_grounding(device_amps, material)
        return least is None or of >= size(least)
    if role in rows["carrying"] and table("small-conductors").holds_for(code):
        limit = device_limit(of, material, edition_of(code))
        return limit is None or limit >= device_amps
    return True


def carries_device(of: Size, material: str, role: str, device_amps: float, code: str) -> bool:
    """Say whether a jumper carries all that an overcurrent device lets through, however large the conductors it ties.

    For a grounding conductor that is the table's least size; else the coolest column of the ampacities decides.
    """
    rows = table("jumpers").rows
    if role in rows["grounding"]:
        if not table("grounding-conductors").holds_for(code):
            return False
        least = least_grounding(device_amps, material)
        return least is not None and of >= size(least)
    if role not in rows["carrying"] or not table("ampacity").holds_for(code):
        return False
    amps = ampacity(of.text, material, COLUMNS[0])
    return amps is not None and amps >= device_amps


def sizing_source(of: Size, material: str, role: str, *, by_device: bool, code: str) -> dict[str, Any]:
    """Give what the size of a jumper rests on, as an answer cites it."""
    if not by_device:
        return table("jumpers").cited(code)
    name = "ampacity" if device_limit(of, material, edition_of(code)) is None else "small-conductors"
    if role in table("jumpers").rows["grounding"]:
        name = "grounding-conductors"
    return table(name).cited(code)


def is_counted_in(enclosure: str) -> bool:
    """Say whether the volume of what is in an enclosure is counted, where a jumper asks for none."""
    return enclosure in table("jumpers").rows["counted_in"]


def least_for_device(above: Size, material: str, role: str, device_amps: float, code: str) -> Size | None:
    """Give the least size above `above` that is large enough behind the device; None where the tables have none."""
    metal = table("ampacity").rows["metals"][material]
    sizes = sorted(map(size, table("ampacity").rows["amperes"][metal]))
    fitting = (one for one in sizes if one > above and suits_device(one, material, role, device_amps, code))
    return next(fitting, None)
