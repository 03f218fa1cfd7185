"""Random questions of everyday work: small copper, common places, now and then aluminum, a pump, a garden."""

from __future__ import annotations

import random
from typing import Any

Plain = dict[str, Any]
_SIZES = ("14 AWG",) * 5 + ("12 AWG",) * 6 + ("10 AWG",) * 2 + ("8 AWG", "6 AWG")
_DEVICE = {"14 AWG": 15, "12 AWG": 20, "10 AWG": 30, "8 AWG": 40, "6 AWG": 60}
_ROLES = ("ungrounded",) * 5 + ("grounded",) * 3 + ("equipment-grounding",) * 3
_INSULATION = ("THHN", "THWN-2", "XHHW-2")
_CABLES = ({}, {}, {"cable": "NM"}, {"cable": "MC", "insulation": "THHN"})
_PLACES: tuple[Plain, ...] = (
    *({"enclosure": "box"},) * 5,
    {"enclosure": "box", "box_material": "metal"},
    {"enclosure": "box", "dwelling": True},
    {"enclosure": "luminaire"},
    {"enclosure": "equipment"},
    {"enclosure": "panelboard"},
)
_OUTSIDE: tuple[Plain, ...] = ({"site": "outdoors", "exposure": "wet", "enclosure": "box"},)


def ordinary_given(rng: random.Random) -> Plain:
    """Give a valid question as an electrician would write it."""
    size, role = rng.choice(_SIZES), rng.choice(_ROLES)
    outside = rng.random() < 0.15
    wire: Plain = {"size": size, "count": rng.randint(2, 4), "role": role}
    if outside:
        wire["insulation"] = "THWN-2"
    else:
        wire |= rng.choice(_CABLES)
        if "cable" not in wire and rng.random() < 0.7:
            wire["insulation"] = rng.choice(_INSULATION)
    if role == "equipment-grounding" and not outside and rng.random() < 0.5:
        wire["insulation"] = "bare"
    conductors = [wire]
    if rng.random() < 0.2 and role != "equipment-grounding":
        conductors.append({"size": "18 AWG", "construction": "stranded", "insulation": "TFFN", "role": role})
    return {
        "joint": {"conductors": conductors},
        "place": rng.choice(_OUTSIDE if outside else _PLACES),
        "circuit": _circuit(rng, size, lead=len(conductors) > 1),
    }


def _circuit(rng: random.Random, size: str, *, lead: bool) -> Plain:
    device = _DEVICE[size]
    found: Plain = {"volts": rng.choice((120, 240, 277))}
    if rng.random() < 0.6:
        found["overcurrent_amps"] = min(device, 20) if lead else device
    if rng.random() < 0.5:
        found |= {"amps": 4 if lead else round(device * rng.choice((0.3, 0.5, 0.8)), 1)}
    if rng.random() < 0.5:
        found["continuous"] = False
    if lead:
        found |= {"kind": "luminaire", "serves": "lighting"}
    return found
