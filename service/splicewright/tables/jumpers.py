"""What jumpers and pigtails are made of, how large and how long they are.

Sources: rulesets/tables/jumpers.yaml, pigtails.yaml and the tables of ampacity.
"""

from __future__ import annotations

from typing import Any

from splicewright.tables.conductors import COLUMNS, ampacity, device_limit, least_grounding
from splicewright.tables.loader import holds_for, table
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
    if role in rows["grounding"] and holds_for("grounding-conductors", code):
        least = least_grounding(device_amps, material)
        return least is None or of >= size(least)
    if role in rows["carrying"] and holds_for("small-conductors", code):
        limit = device_limit(of, material, code)
        return limit is None or limit >= device_amps
    return True


def carries_device(of: Size, material: str, role: str, device_amps: float, code: str) -> bool:
    """Say whether a jumper carries all that an overcurrent device lets through, however large the conductors it ties.

    For a grounding conductor that is the table's least size; else the coolest column of the ampacities decides.
    """
    rows = table("jumpers").rows
    if role in rows["grounding"]:
        if not holds_for("grounding-conductors", code):
            return False
        least = least_grounding(device_amps, material)
        return least is not None and of >= size(least)
    if role not in rows["carrying"] or not holds_for("ampacity", code):
        return False
    amps = ampacity(of.text, material, COLUMNS[0])
    return amps is not None and amps >= device_amps


def sizing_source(of: Size, material: str, role: str, *, by_device: bool, code: str) -> dict[str, Any]:
    """Give what the size of a jumper rests on, as an answer cites it."""
    if not by_device:
        return table("jumpers").cited(code)
    name = "ampacity" if device_limit(of, material, code) is None else "small-conductors"
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


def pigtail_length() -> tuple[float, str]:
    """Give the length that a pigtail (one end in a joint, one on a device) is cut to: (6, "in")."""
    return _length("pigtail")


def jumper_length() -> tuple[float, str]:
    """Give the length that a jumper (both ends in joints of one box) is cut to: (6, "in")."""
    return _length("jumper")


def length_source(code: str) -> dict[str, Any]:
    """Give what these lengths rest on."""
    return table("pigtails").cited(code)


def _length(of: str) -> tuple[float, str]:
    found = table("pigtails").rows["lengths"][of]
    return found["value"], found["unit"]
