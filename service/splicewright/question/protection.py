"""Measures of protection: sizes of grounding conductors, devices ahead of conductors, what a load leaves of them."""

# ruff: noqa: D401 - a measure's docstring is its description, shown to people

from __future__ import annotations

import functools
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from splicewright.question.loads import (
    APART,
    CARRIES,
    CARRYING,
    SHARED,
    SIZE,
    amperes,
    at_terminals,
    in_parallel,
    tenths,
)
from splicewright.question.measures import CONDUCTOR, JOINT, LEADS, measure
from splicewright.question.model import Circuit, Conductor, Place, Question
from splicewright.tables.conductors import (
    ampacity,
    as_continuous,
    device_limit,
    gauge_of,
    largest_control_device,
    largest_device,
    largest_machine_device,
    least_grounding,
    least_range_neutral,
    terminal_column,
    whole_dwelling,
)
from splicewright.tables.loader import holds_for
from splicewright.tables.motors import largest_motor_device, motor_devices, usual_motor_device
from splicewright.units import Size, size, whole

# --- equipment grounding conductors --------------------------------------------------------------

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


# --- overcurrent devices -------------------------------------------------------------------------


def _no_device(question: Question) -> bool:
    return question.circuit.overcurrent_amps is None


def _over(limit: int | None, question: Question) -> int | None:
    device = question.circuit.overcurrent_amps
    return None if limit is None or device is None else whole(device, "A") - limit


@measure(CONDUCTOR, "conductor.device_limit", "amps", f"{SIZE} conductor.cable")
def _device_limit(question: Question, conductor: Conductor) -> int | None:
    """The largest overcurrent device for a conductor so small; no value for larger ones."""
    if not holds_for("small-conductors", question.code) or conductor.cable == LEADS:
        return None
    limit = device_limit(conductor.size, conductor.material, question.code)
    return None if limit is None else whole(limit, "A")


@measure(CONDUCTOR, "conductor.device_excess", "amps", f"{SIZE} conductor.cable circuit.overcurrent_amps")
def _device_excess(question: Question, conductor: Conductor) -> int | None:
    """By how much the overcurrent device exceeds the small conductor's limit; below 0 where it does not."""
    return _over(_device_limit(question, conductor), question)


@measure(CONDUCTOR, "conductor.load_above_device", "amps", f"{SIZE} conductor.cable circuit.amps")
def _load_above_device(question: Question, conductor: Conductor) -> int | None:
    """By how much the load exceeds the largest device that a conductor so small may have; below 0 where it does not."""
    limit, amps = _device_limit(question, conductor), question.circuit.amps
    return None if limit is None or amps is None else whole(amps, "A") - limit


@dataclass(frozen=True, slots=True)
class _Limits:
    """The largest device, in base units: by the ampacity, and of whatever it protects.

    They differ only where the conductor feeds a whole dwelling, which `widens` it.
    """

    by_ampacity: int
    most: int
    widens: bool


def _limits(question: Question, conductor: Conductor, terminals: int) -> _Limits | None:
    """Give the largest device that the ampacity allows; None where it is not known."""
    return _limits_in(question.code, question.place, question.circuit, conductor, terminals)


@functools.lru_cache(maxsize=4096)  # of which several measures of a conductor make something
def _limits_in(code: str, place: Place, circuit: Circuit, conductor: Conductor, terminals: int) -> _Limits | None:
    if not (holds_for("ampacity", code) and holds_for("standard-devices", code)):
        return None
    carries = at_terminals(place, conductor, terminals)
    if carries is None:
        return None
    largest = largest_device(carries, code)
    by_ampacity = tenths(largest)
    if not place.dwelling:
        return _Limits(by_ampacity, by_ampacity, widens=False)
    of_dwelling = whole_dwelling(carries, code, circuit.volts, kind=circuit.kind, current=circuit.current)
    return _Limits(by_ampacity, tenths(max(largest, of_dwelling)), widens=of_dwelling > largest)


def _protected(question: Question, conductor: Conductor, terminals: int) -> int | None:
    limits = _limits(question, conductor, terminals)
    return None if limits is None else limits.most


_PROTECTED = f"{CARRIES} place.dwelling circuit.kind circuit.current circuit.volts"
_PROTECTION = f"{_PROTECTED} circuit.overcurrent_amps"


@measure(CONDUCTOR, "conductor.protected_at", "amps", _PROTECTED)
def _protected_at(question: Question, conductor: Conductor) -> int | None:
    """The largest device that the conductor's ampacity allows here, between terminals that are marked 75 degC."""
    return _protected(question, conductor, terminal_column())


@measure(CONDUCTOR, "conductor.protection_excess", "amps", _PROTECTION)
def _protection_excess(question: Question, conductor: Conductor) -> int | None:
    """By how much the overcurrent device exceeds what the ampacity allows; below 0 where it does not."""
    return None if _no_device(question) else _over(_protected_at(question, conductor), question)


@measure(CONDUCTOR, "conductor.load_above_protection", "amps", f"{_PROTECTED} circuit.amps")
def _load_above_protection(question: Question, conductor: Conductor) -> int | None:
    """By how much the load exceeds the largest device that the ampacity allows; below 0 where it does not."""
    amps = question.circuit.amps
    limit = None if amps is None else _protected_at(question, conductor)
    return None if limit is None or amps is None else whole(amps, "A") - limit


@measure(CONDUCTOR, "conductor.whole_dwelling_excess", "amps", _PROTECTION)
def _whole_dwelling_excess(question: Question, conductor: Conductor) -> int | None:
    """By how much the device exceeds the ampacity's limit, where a feeder of a whole dwelling may have a larger one."""
    limits = None if _no_device(question) else _limits(question, conductor, terminal_column())
    return _over(limits.by_ampacity, question) if limits and limits.widens else None


@measure(CONDUCTOR, "conductor.unmarked_excess", "amps", _PROTECTION)
def _unmarked_excess(question: Question, conductor: Conductor) -> int | None:
    """By how much the device exceeds what the ampacity allows between unmarked terminals; below 0: it does not."""
    device = question.circuit.overcurrent_amps
    return None if device is None else _over(_protected(question, conductor, terminal_column(device)), question)


@measure(CONDUCTOR, "conductor.rounded_up", "amps", f"{CARRIES} circuit.overcurrent_amps")
def _rounded_up(question: Question, conductor: Conductor) -> int | None:
    """By how much the device exceeds the ampacity itself between marked terminals; below 0 where it does not."""
    if _no_device(question) or not holds_for("ampacity", question.code):
        return None
    carries = at_terminals(question.place, conductor, terminal_column())
    return None if carries is None else _over(tenths(carries), question)


@measure(CONDUCTOR, "conductor.control_excess", "amps", f"{SIZE} conductor.cable circuit.overcurrent_amps")
def _control_excess(question: Question, conductor: Conductor) -> int | None:
    """By how much the device exceeds the most ahead of a motor's control conductor; below 0: it does not."""
    if _no_device(question) or not holds_for("control-conductors", question.code) or conductor.cable == LEADS:
        return None
    limit = largest_control_device(conductor.size, conductor.material)
    return None if limit is None else _over(whole(limit, "A"), question)


_MACHINE = f"{SHARED} conductor.cable circuit.overcurrent_amps"


@measure(CONDUCTOR, "conductor.motor_excess", "amps", _MACHINE)
def _motor_excess(question: Question, conductor: Conductor) -> int | None:
    """By how much the device exceeds the most for any motor that such a conductor may serve; below 0: it does not."""
    return _machine_excess(question, conductor, "motors")


@measure(CONDUCTOR, "conductor.compressor_excess", "amps", _MACHINE)
def _compressor_excess(question: Question, conductor: Conductor) -> int | None:
    """By how much the device exceeds the most for any sealed compressor that such a conductor may serve."""
    return _machine_excess(question, conductor, "compressors")


def _machine_excess(question: Question, conductor: Conductor, machines: str) -> int | None:
    if _no_device(question):
        return None
    gauge = gauge_of(conductor.size, conductor.material)
    carries = None if gauge is None else ampacity(gauge, conductor.material, terminal_column())
    holds = holds_for("ampacity", question.code) and holds_for("standard-devices", question.code)
    if carries is None or conductor.cable in APART or not holds:
        return None
    return _over(tenths(largest_machine_device(Fraction(carries * in_parallel(conductor)), machines)), question)


_STARTING = "circuit.amps circuit.overcurrent_device circuit.overcurrent_amps"


@measure(JOINT, "circuit.motor_device_excess", "amps", _STARTING)
def _motor_device_excess(question: Question) -> int | None:
    """By how much the device exceeds what one of its kind is for a motor of this load; below 0 where it does not."""
    return _starting_excess(question, usual_motor_device)


@measure(JOINT, "circuit.motor_device_beyond", "amps", _STARTING)
def _motor_device_beyond(question: Question) -> int | None:
    """By how much the device exceeds the most of its kind for a motor that starts hard; below 0 where it does not."""
    return _starting_excess(question, largest_motor_device)


def _starting_excess(question: Question, limit: Callable[[Fraction, str, str], Fraction]) -> int | None:
    amps, device = question.circuit.amps, question.circuit.overcurrent_device
    if amps is None or device not in motor_devices() or not holds_for("standard-devices", question.code):
        return None
    return _over(tenths(limit(Fraction(str(amps)), device, question.code)), question)


@measure(JOINT, "circuit.nameplate_excess", "amps", "circuit.nameplate_amps circuit.overcurrent_amps")
def _nameplate_excess(question: Question) -> int | None:
    """By how much the device exceeds the most that the nameplate allows; below 0 where it does not."""
    most = question.circuit.nameplate_amps
    return None if most is None else _over(whole(most, "A"), question)


@measure(JOINT, "circuit.nameplate_load_excess", "amps", "circuit.nameplate_amps circuit.amps")
def _nameplate_load_excess(question: Question) -> int | None:
    """By how much the load exceeds the largest device that the nameplate allows; below 0 where it does not."""
    most, amps = question.circuit.nameplate_amps, question.circuit.amps
    return None if most is None or amps is None else whole(amps, "A") - whole(most, "A")


@measure(CONDUCTOR, "conductor.range_neutral_shortfall", "amps", f"{CARRIES} circuit.overcurrent_amps")
def _range_neutral_shortfall(question: Question, conductor: Conductor) -> int | None:
    """By how much it carries less than the neutral of a household range has to behind the device; below 0: more."""
    device = question.circuit.overcurrent_amps
    if device is None or not holds_for("ampacity", question.code):
        return None
    carries = at_terminals(question.place, conductor, terminal_column())
    if carries is None:
        return None
    return -_floor((carries - least_range_neutral(amperes(device))) * 10)


def _carrying(question: Question) -> list[Conductor]:
    return [
        conductor for conductor in question.joint.conductors if conductor.role in CARRYING and conductor.cable != LEADS
    ]


_OF_TAP = f"{_PROTECTION} conductor.role"


@measure(JOINT, "joint.tapped_excess", "amps", _OF_TAP)
def _tapped_excess(question: Question) -> int | None:
    """By how much the device exceeds what the largest current-carrying conductor, no lead, may have; below 0: not."""
    found = _excesses(question, max)
    return min(found) if found else None  # of several as large the best protected may be the one tapped


@measure(JOINT, "joint.tap_excess", "amps", _OF_TAP)
def _tap_excess(question: Question) -> int | None:
    """By how much the device exceeds what the smallest current-carrying conductor, no lead, may have; below 0: not."""
    found = _excesses(question, min)
    return max(found) if found else None  # of several as small the worst protected


def _excesses(question: Question, most: Callable[[Iterable[Size]], Size]) -> list[int]:
    """Give by how much the device exceeds what each of the largest, or smallest, of them may have."""
    carrying = [] if _no_device(question) else _carrying(question)
    if not carrying:
        return []
    extreme = most([one.size for one in carrying])
    of = [one for one in carrying if one.size == extreme]
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
    return -_floor((amperes(device) - as_continuous(amperes(amps))) * 10)


def _floor(value: Fraction) -> int:
    return value.numerator // value.denominator
