"""What is assumed of a leaf that a question leaves out, where that depends on other leaves of its part."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from splicewright.question import vocabulary as v
from splicewright.units import size

_BUILT = {
    "cord": "fine-stranded",
    "MI": "solid",
    **dict.fromkeys(("SE", "SER", "USE", "TC", "PV", "equipment-leads"), "stranded"),
}
_SOLID_TO = {"awg": size("10 AWG"), "metric": size("6 mm2")}


def usual_construction(conductor: Mapping[str, Any]) -> str:
    """Give how a conductor is built up: as its cable is, else as building wire of its size."""
    area = conductor["size"]
    solid = "solid" if area <= _SOLID_TO[area.system] else "stranded"
    return _BUILT.get(conductor.get("cable", ""), solid)


def usual_role(conductor: Mapping[str, Any]) -> str:
    """Give the role: bare wire is taken for grounding, any other for a hot conductor."""
    return "equipment-grounding" if conductor.get("insulation") == ["bare"] else "ungrounded"


def usual_purpose(joint: Mapping[str, Any]) -> str:
    """Give the purpose: one end alone is capped."""
    return "cap" if sum([conductor.count for conductor in joint["conductors"]]) == 1 else "splice"


def usual_enclosure(place: Mapping[str, Any]) -> str:
    """Give the enclosure: none in earth and under water, else a box."""
    return "none" if place.get("exposure") in ("buried", "submerged") else "box"


def usual_volts(circuit: Mapping[str, Any]) -> int | None:
    """Give the volts of a circuit that does not state them; None for low-voltage kinds and sources of dc."""
    unknown = circuit.get("kind") in v.LOW_VOLTAGE_KINDS or circuit.get("source") in v.DC_SOURCES
    return None if unknown else 120


def usual_current(circuit: Mapping[str, Any]) -> str:
    """Give the current: dc of sources of it."""
    return "dc" if circuit.get("source") in v.DC_SOURCES else "ac"
