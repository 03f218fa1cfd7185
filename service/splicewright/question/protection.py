"""Measures of protection: which overcurrent device a conductor may have ahead of it, and what its load leaves of it."""

# ruff: noqa: D401 - a measure's docstring is its description, shown to people

from __future__ import annotations

from collections.abc import Callable, Iterable
from fractions import Fraction

from splicewright.question.loads import CARRIES, CONTINUOUS, SIZE, at_terminals, tenths
from splicewright.question.measures import CONDUCTOR, JOINT, measure
from splicewright.question.model import Conductor, Question
from splicewright.tables.ampacity import device_limit
from splicewright.tables.devices import largest_control_device, largest_device, terminal_column
from splicewright.tables.loader import table
from splicewright.units import Size, whole


def _edition(question: Question) -> str:
    return question.code.partition("-")[2]


def _over(limit: int | None, question: Question) -> int | None:
    device = question.circuit.overcurrent_amps
    return None if limit is None or device is None else whole(device, "A") - limit


@measure(CONDUCTOR, "conductor.device_limit", "amps", SIZE)
def _device_limit(question: Question, conductor: Conductor) -> int | None:
    """The largest overcurrent device for a conductor so small; no value for larger ones."""
    if not table("small-conductors").holds_for(question.code):
        return None
    limit = device_limit(conductor.size, conductor.material, _edition(question))
    return None if limit is None else whole(limit, "A")


@measure(CONDUCTOR, "conductor.device_excess", "amps", f"{SIZE} circuit.overcurrent_amps")
def _device_excess(question: Question, conductor: Conductor) -> int | None:
    """By how much the overcurrent device exceeds the small conductor's limit; below 0 where it does not."""
    return _over(_device_limit(question, conductor), question)


@measure(CONDUCTOR, "conductor.load_above_device", "amps", f"{SIZE} circuit.amps")
def _load_above_device(question: Question, conductor: Conductor) -> int | None:
    """By how much the load exceeds the largest device that a conductor so small may have; below 0 where it does not."""
    limit, amps = _device_limit(question, conductor), question.circuit.amps
    return None if limit is None or amps is None else whole(amps, "A") - limit


def _protected(question: Question, conductor: Conductor, terminals: int) -> int | None:
    if not (table("ampacity").holds_for(question.code) and table("standard-devices").holds_for(question.code)):
        return None
    carries = at_terminals(question, conductor, terminals)
    return None if carries is None else tenths(largest_device(carries, _edition(question)))


@measure(CONDUCTOR, "conductor.protected_at", "amps", CARRIES)
def _protected_at(question: Question, conductor: Conductor) -> int | None:
    """The largest device that the conductor's ampacity allows here, between terminals that are marked 75 degC."""
    return _protected(question, conductor, terminal_column())


@measure(CONDUCTOR, "conductor.protection_excess", "amps", f"{CARRIES} circuit.overcurrent_amps")
def _protection_excess(question: Question, conductor: Conductor) -> int | None:
    """By how much the overcurrent device exceeds what the ampacity allows; below 0 where it does not."""
    return _over(_protected_at(question, conductor), question)


@measure(CONDUCTOR, "conductor.load_above_protection", "amps", f"{CARRIES} circuit.amps")
def _load_above_protection(question: Question, conductor: Conductor) -> int | None:
    """By how much the load exceeds the largest device that the ampacity allows; below 0 where it does not."""
    limit, amps = _protected_at(question, conductor), question.circuit.amps
    return None if limit is None or amps is None else whole(amps, "A") - limit


@measure(CONDUCTOR, "conductor.unmarked_excess", "amps", f"{CARRIES} circuit.overcurrent_amps")
def _unmarked_excess(question: Question, conductor: Conductor) -> int | None:
    """By how much the device exceeds what the ampacity allows between unmarked terminals; below 0: it does not."""
    device = question.circuit.overcurrent_amps
    return _over(_protected(question, conductor, terminal_column(device or 0)), question)


@measure(CONDUCTOR, "conductor.rounded_up", "amps", f"{CARRIES} circuit.overcurrent_amps")
def _rounded_up(question: Question, conductor: Conductor) -> int | None:
    """By how much the device exceeds the ampacity itself between marked terminals; below 0 where it does not."""
    if not table("ampacity").holds_for(question.code):
        return None
    carries = at_terminals(question, conductor, terminal_column())
    return None if carries is None else _over(tenths(carries), question)


@measure(CONDUCTOR, "conductor.control_excess", "amps", f"{SIZE} circuit.overcurrent_amps")
def _control_excess(question: Question, conductor: Conductor) -> int | None:
    """By how much the device exceeds the most ahead of a motor's control conductor; below 0: it does not."""
    if not table("control-conductors").holds_for(question.code):
        return None
    limit = largest_control_device(conductor.size, conductor.material)
    return None if limit is None else _over(whole(limit, "A"), question)


def _hot(question: Question) -> list[Conductor]:
    return [one for one in question.joint.conductors if one.role in ("ungrounded", "control")]


_OF_TAP = f"{CARRIES} conductor.role circuit.overcurrent_amps"


@measure(JOINT, "joint.tapped_excess", "amps", _OF_TAP)
def _tapped_excess(question: Question) -> int | None:
    """By how much the device exceeds what the largest hot conductor may have; below 0 where it does not."""
    found = _excesses(question, max)
    return min(found) if found else None  # of several as large the best protected may be the one tapped


@measure(JOINT, "joint.tap_excess", "amps", _OF_TAP)
def _tap_excess(question: Question) -> int | None:
    """By how much the device exceeds what the smallest hot conductor may have; below 0 where it does not."""
    found = _excesses(question, min)
    return max(found) if found else None  # of several as small the worst protected


def _excesses(question: Question, most: Callable[[Iterable[Size]], Size]) -> list[int]:
    """Give by how much the device exceeds what each of the largest, or smallest, hot conductors may have."""
    hot = _hot(question)
    of = [one for one in hot if one.size == most(each.size for each in hot)]
    found = [(_device_excess(question, one), _protection_excess(question, one)) for one in of]
    return [max(one for one in pair if one is not None) for pair in found if pair != (None, None)]


@measure(JOINT, "circuit.load_excess", "amps", "circuit.amps circuit.overcurrent_amps")
def _load_excess(question: Question) -> int | None:
    """By how much the load exceeds the overcurrent device; below 0 where it does not."""
    amps = question.circuit.amps
    excess = None if amps is None else _over(whole(amps, "A"), question)
    return None if excess is None else -excess


@measure(JOINT, "circuit.continuous_excess", "amps", "circuit.amps circuit.overcurrent_amps")
def _continuous_excess(question: Question) -> int | None:
    """By how much a quarter more than the load exceeds the device, rounded up; below 0 where it does not."""
    amps, device = question.circuit.amps, question.circuit.overcurrent_amps
    if amps is None or device is None:
        return None
    return -_floor((Fraction(str(device)) - Fraction(str(amps)) * CONTINUOUS) * 10)


def _floor(value: Fraction) -> int:
    return value.numerator // value.denominator
