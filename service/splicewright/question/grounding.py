"""Measures of equipment grounding conductors: how large they are to be behind the overcurrent device."""

# ruff: noqa: D401 - a measure's docstring is its description, shown to people

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from splicewright.question.measures import JOINT, LEADS, measure
from splicewright.question.model import Conductor, Question
from splicewright.tables.conductors import least_grounding
from splicewright.tables.loader import holds_for
from splicewright.units import Size, size

_FAULT_PATH = ("equipment-grounding", "isolated-grounding")


def _grounds(question: Question) -> list[Conductor]:
    return [
        conductor
        for conductor in question.joint.conductors
        if conductor.role in _FAULT_PATH and conductor.cable != LEADS
    ]


def _grounding(question: Question) -> Size | None:
    grounds, device = _grounds(question), question.circuit.overcurrent_amps
    if device is None or not grounds or not holds_for("grounding-conductors", question.code):
        return None
    # Of two as large the copper one: it suffices by itself, and the table asks more of aluminum.
    largest = max(grounds, key=lambda ground: (ground.size, ground.material == "copper"))
    least = least_grounding(device, largest.material)
    return None if least is None else size(least)


_OF_GROUNDS = "conductor.size conductor.material conductor.role conductor.cable"
_GROUNDING = f"{_OF_GROUNDS} circuit.overcurrent_amps"


@measure(JOINT, "joint.largest_grounding", "size", _OF_GROUNDS)
def _largest_grounding(question: Question) -> Any:
    """The size of the largest equipment grounding conductor that is no lead of equipment."""
    return max((ground.size for ground in _grounds(question)), default=None)


@measure(JOINT, "joint.least_grounding", "size", _GROUNDING)
def _least_grounding(question: Question) -> Any:
    """The least size of an equipment grounding conductor behind this overcurrent device."""
    return _grounding(question)


@measure(JOINT, "joint.grounding_undersized", "flag", _GROUNDING)
def _grounding_undersized(question: Question) -> bool | None:
    """Whether every one of the equipment grounding conductors is smaller than the table asks of its metal."""
    least = _grounding(question)
    return None if least is None else all(_undersized(question))


@measure(JOINT, "joint.some_grounding_undersized", "flag", _GROUNDING)
def _some_grounding_undersized(question: Question) -> bool | None:
    """Whether some of the equipment grounding conductors is smaller than the table asks behind this device."""
    return None if _grounding(question) is None else any(_undersized(question))


def _undersized(question: Question) -> Iterator[bool]:
    """Tell of each grounding conductor whether it is smaller than the table asks of its own metal."""
    device = question.circuit.overcurrent_amps or 0
    for ground in _grounds(question):
        least = least_grounding(device, ground.material)
        yield least is None or ground.size < size(least)
