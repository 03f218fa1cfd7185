"""Measures of load: what a conductor carries here, what may protect it, and how large a grounding conductor must be.

They read the code's tables, so they have a value only for code editions that the tables were entered for.
"""

# ruff: noqa: D401 - a measure's docstring is its description, shown to people

from __future__ import annotations

from fractions import Fraction
from typing import Any

from splicewright.question.measures import CONDUCTOR, JOINT, degrees, insulations, measure
from splicewright.question.model import Conductor, Question
from splicewright.tables.ampacity import (
    ampacity,
    column_for,
    correction,
    device_limit,
    fixture_ampacity,
    least_column,
    least_grounding,
)
from splicewright.tables.insulation import cable_insulation
from splicewright.tables.loader import table
from splicewright.units import Size, size, whole

__all__ = ["CONDUCTOR", "JOINT"]

_CARRYING = ("ungrounded", "grounded", "control")
_CORD = "cord"  # has ampacity tables of its own, which were not entered
_HERE = "place.exposure place.enclosure place.site place.ambient"
_CARRIES = f"conductor.size conductor.material conductor.insulation conductor.cable {_HERE}"


@measure(CONDUCTOR, "conductor.ampacity", "amps", _CARRIES)
def conductor_ampacity(question: Question, conductor: Conductor) -> int | None:
    """What the conductor carries in this place, by its own insulation, in tenths of an ampere rounded down."""
    if not table("ampacity").holds_for(question.code) or conductor.cable == _CORD:
        return None
    found = insulations(conductor)
    if found and all(one.fixture for one in found):
        amps = fixture_ampacity(conductor.size.text)
        return None if amps is None else whole(amps, "A")
    rated: int | None = degrees(question, conductor)
    column = None if rated is None else column_for(rated // whole(1, "degC"))
    base = None if column is None else ampacity(conductor.size.text, conductor.material, column)
    if column is None or base is None:
        return None
    place = question.place.ambient
    factor = correction(Fraction(whole(place.value, place.unit), whole(1, "degC")), column) or Fraction(0)
    return min(int(base * factor * 10), _held_to(conductor))


def _held_to(conductor: Conductor) -> int:
    cable = cable_insulation().get(conductor.cable)
    column = cable.final_degrees if cable else None
    held = None if column is None else ampacity(conductor.size.text, conductor.material, column)
    return whole(10_000 if held is None else held, "A")


@measure(CONDUCTOR, "conductor.load_margin", "amps", f"{_CARRIES} conductor.role circuit.amps")
def _load_margin(question: Question, conductor: Conductor) -> int | None:
    """How far the load stays below what the conductor carries here; below 0 where it exceeds it."""
    carries: int | None = conductor_ampacity(question, conductor)
    amps = question.circuit.amps
    if carries is None or amps is None or conductor.role not in _CARRYING:
        return None
    return carries - whole(amps, "A")


@measure(CONDUCTOR, "conductor.ampacity_known", "flag", _CARRIES)
def _ampacity_known(question: Question, conductor: Conductor) -> bool:
    """Whether what was stated suffices to tell what the conductor carries."""
    return conductor_ampacity(question, conductor) is not None


@measure(
    CONDUCTOR, "conductor.joint_degrees", "temperature", "conductor.size conductor.material conductor.role circuit.amps"
)
def _joint_degrees(question: Question, conductor: Conductor) -> int | None:
    """The temperature that a connector must be rated for: the coolest column in which the load is carried."""
    amps = question.circuit.amps
    if amps is None or conductor.role not in _CARRYING or not table("ampacity").holds_for(question.code):
        return None
    column = least_column(conductor.size.text, conductor.material, amps)
    return None if column is None else whole(column, "degC")


_SMALL = "conductor.size conductor.material"


@measure(CONDUCTOR, "conductor.device_limit", "amps", _SMALL)
def _device_limit(question: Question, conductor: Conductor) -> int | None:
    """The largest overcurrent device for a conductor so small; no value for larger ones."""
    if not table("small-conductors").holds_for(question.code):
        return None
    limit = device_limit(conductor.size.text, conductor.material, question.code.partition("-")[2])
    return None if limit is None else whole(limit, "A")


@measure(CONDUCTOR, "conductor.device_excess", "amps", f"{_SMALL} circuit.overcurrent_amps")
def _device_excess(question: Question, conductor: Conductor) -> int | None:
    """By how much the overcurrent device exceeds the small conductor's limit; below 0 where it does not."""
    limit: int | None = _device_limit(question, conductor)
    device = question.circuit.overcurrent_amps
    return None if limit is None or device is None else whole(device, "A") - limit


def _grounding(question: Question) -> Size | None:
    conductors = question.joint.conductors
    device = question.circuit.overcurrent_amps
    if device is None or any(one.role != "equipment-grounding" for one in conductors):
        return None
    if not table("grounding-conductors").holds_for(question.code):
        return None
    # Of two as large the copper one: it suffices by itself, and the table asks more of aluminum.
    largest = max(conductors, key=lambda one: (one.size, one.material == "copper"))
    least = least_grounding(device, largest.material)
    return None if least is None else size(least)


_GROUNDING = "conductor.size conductor.material conductor.role circuit.overcurrent_amps"


@measure(JOINT, "joint.least_grounding", "size", _GROUNDING)
def _least_grounding(question: Question) -> Any:
    """The least size of an equipment grounding conductor behind this overcurrent device."""
    return _grounding(question)


@measure(JOINT, "joint.grounding_undersized", "flag", _GROUNDING)
def _grounding_undersized(question: Question) -> bool | None:
    """Whether even the largest of the equipment grounding conductors is smaller than the table asks."""
    least = _grounding(question)
    return None if least is None else max(one.size for one in question.joint.conductors) < least
