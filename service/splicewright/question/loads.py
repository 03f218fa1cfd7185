"""Measures of a conductor: what its insulation is good for, what it carries here, how much of it the load asks.

What it carries the code's tables tell, so that has a value only for code editions that they were entered for. A size
that the tables do not have, such as one in mm2, is judged by the next smaller one that they have.
"""

# ruff: noqa: D401 - a measure's docstring is its description, shown to people

from __future__ import annotations

import functools
from collections.abc import Callable
from fractions import Fraction
from typing import Any

from splicewright.question.measures import CONDUCTOR, JOINT, LEADS, measure
from splicewright.question.model import Conductor, Place, Question
from splicewright.tables.conductors import (
    COLUMNS,
    Insulation,
    adjustment,
    ampacity,
    as_continuous,
    cable_insulation,
    column_for,
    correction,
    fixture_ampacity,
    gauge_of,
    insulation_types,
    is_wet_place,
    least_column,
    most_amperes,
    most_correction,
    terminal_column,
)
from splicewright.tables.loader import holds_for
from splicewright.units import Measured, Size, size, whole

CARRYING = ("ungrounded", "grounded", "control")
#: Cord has ampacity tables of its own, which were not entered; the leads of listed equipment have their listing.
APART = ("cord", LEADS)
_HERE = "place.exposure place.enclosure place.site place.ambient place.current_carrying"
SIZE = "conductor.size conductor.material"
SHARED = f"{SIZE} conductor.parallel"
CARRIES = f"{SHARED} conductor.insulation conductor.cable {_HERE}"


_RATINGS = {"rated": "is", "not-rated": "is not", "not-stated": "its insulation was not stated"}

# --- insulation ----------------------------------------------------------------------------------


def insulations(conductor: Conductor) -> tuple[Insulation, ...]:
    """Give what is known of a conductor's insulation: its marks, else what its cable tells; empty: not known here.

    That of the leads of listed equipment is their listing's, whatever they are marked.
    """
    return _insulations(conductor.cable, conductor.insulation)


@functools.lru_cache(maxsize=1024)  # of two closed lists of words
def _insulations(cable: str, marks: tuple[str, ...] | None) -> tuple[Insulation, ...]:
    if cable == LEADS:
        return ()
    if marks:
        return tuple([insulation_types()[letters] for letters in marks])
    known = cable_insulation().get(cable)
    return (known,) if known else ()


@measure(CONDUCTOR, "conductor.lead", "flag", "conductor.cable")
def _lead(_question: Question, conductor: Conductor) -> bool:
    """Whether it is a lead of listed equipment."""
    return conductor.cable == LEADS


def made(conductor: Conductor) -> bool:
    """Say whether wire of the conductor's size is made with one of its insulation types, where they are stated."""
    marks = conductor.insulation
    return marks is None or any(insulation_types()[letters].is_made(conductor.size) for letters in marks)


@measure(CONDUCTOR, "conductor.made", "flag", "conductor.insulation conductor.size")
def _made(_question: Question, conductor: Conductor) -> bool:
    """Whether wire of this size is made with the insulation that is stated."""
    return made(conductor)


def _rating(conductor: Conductor, good: Callable[[Insulation], bool]) -> str:
    found = insulations(conductor)
    if not found:
        return "not-stated"
    return "rated" if any(good(one) for one in found) else "not-rated"


@measure(CONDUCTOR, "conductor.insulation_stated", "flag", "conductor.insulation conductor.cable")
def _insulation_stated(_question: Question, conductor: Conductor) -> bool:
    """Whether the insulation was given, or the cable tells it, or it is a lead's, for which the listing answers."""
    return conductor.cable == LEADS or bool(insulations(conductor))


@measure(CONDUCTOR, "conductor.wet_rating", "word", "conductor.insulation conductor.cable", _RATINGS)
def _wet_rating(_question: Question, conductor: Conductor) -> str:
    """Whether the insulation may be wet; a dual-marked one counts by its better mark."""
    return _rating(conductor, lambda one: one.wet)


@measure(CONDUCTOR, "conductor.burial_rating", "word", "conductor.insulation conductor.cable", _RATINGS)
def _burial_rating(_question: Question, conductor: Conductor) -> str:
    """Whether the insulation may lie in the ground without a raceway."""
    return _rating(conductor, lambda one: one.burial)


_WET = "place.exposure place.enclosure place.site"


@measure(JOINT, "place.wet", "flag", _WET)
def _wet(question: Question) -> bool:
    """Whether the place is wet whatever else is said of it: in the ground, under water, in a handhole."""
    return _is_wet(question.place)


def _is_wet(place: Place) -> bool:
    return is_wet_place(exposure=place.exposure, enclosure=place.enclosure, site=place.site)


_DEGREES = f"conductor.insulation conductor.cable {_WET}"


@measure(CONDUCTOR, "conductor.degrees", "temperature", _DEGREES)
def degrees(question: Question, conductor: Conductor) -> int | None:
    """The insulation's temperature in this place; a dual-marked one counts by its better mark."""
    return degrees_in(question.place, conductor)


def degrees_in(place: Place, conductor: Conductor) -> int | None:
    """Give the insulation's temperature in a place, in base units."""
    return _best_degrees(conductor.cable, conductor.insulation, _is_wet(place))


@functools.lru_cache(maxsize=1024)  # of two closed lists of words
def _best_degrees(cable: str, marks: tuple[str, ...] | None, wet: bool) -> int | None:
    found = [(insulation.degrees_wet if wet else insulation.degrees) for insulation in _insulations(cable, marks)]
    known = [one for one in found if one is not None]
    return whole(max(known), "degC") if known else None


@measure(CONDUCTOR, "conductor.heat_margin", "temperature", _DEGREES + " place.ambient")
def _heat_margin(question: Question, conductor: Conductor) -> int | None:
    """How far the place's temperature stays below the insulation's; below 0 where the place is hotter."""
    rated, ambient = degrees(question, conductor), question.place.ambient
    return None if rated is None else rated - whole(ambient.value, ambient.unit)


@measure(CONDUCTOR, "conductor.insulation_volts", "volts", "conductor.insulation conductor.cable")
def _insulation_volts(_question: Question, conductor: Conductor) -> int | None:
    """The insulation's volts; a dual-marked one counts by its better mark."""
    known = [insulation.volts for insulation in insulations(conductor) if insulation.volts is not None]
    return whole(max(known), "V") if known else None


@measure(CONDUCTOR, "conductor.volts_margin", "volts", "conductor.insulation conductor.cable circuit.volts")
def _volts_margin(question: Question, conductor: Conductor) -> int | None:
    """How far the circuit's volts stay below the insulation's; below 0 where they exceed them."""
    volts, circuit = _insulation_volts(question, conductor), question.circuit.volts
    return None if volts is None or circuit is None else volts - whole(circuit, "V")


# --- load ----------------------------------------------------------------------------------------


@functools.lru_cache(maxsize=4096)
def amperes(given: float) -> Fraction:
    """Give what a question has in amperes as an exact number."""
    return Fraction(whole(given, "A"), whole(1, "A"))


def tenths(some: Fraction) -> int:
    """Give amperes in base units."""
    found = abs(some.numerator) * 10 // some.denominator  # rounded down
    return found if some.numerator >= 0 else -found


def in_parallel(conductor: Conductor) -> int:
    """Give of how many in parallel the conductor is one; 1 where it is alone."""
    return conductor.parallel or 1


@measure(CONDUCTOR, "conductor.judged_as", "size", f"{SIZE} conductor.cable")
def _judged_as(question: Question, conductor: Conductor) -> Any:
    """The size that the ampacity tables judge the conductor by, where they do not have its own."""
    if not holds_for("ampacity", question.code):
        return None
    gauge = gauge_of(conductor.size, conductor.material)
    return None if gauge in (None, conductor.size.text) or conductor.cable == LEADS else size(gauge)


@measure(CONDUCTOR, "conductor.fixture_wire", "flag", "conductor.insulation conductor.cable")
def _fixture_wire(_question: Question, conductor: Conductor) -> bool:
    """Whether the insulation is that of fixture wire, which has ampacities and protection of its own."""
    return is_fixture_wire(conductor)


def is_fixture_wire(conductor: Conductor) -> bool:
    """Say whether all that is known of a conductor's insulation is of fixture wire."""
    # What a cable tells of its conductors no mark turns into fixture wire.
    if conductor.insulation is None or conductor.cable in cable_insulation():
        return False
    found = insulations(conductor)
    return bool(found) and all(one.fixture for one in found)


def _corrected(place: Place, conductor: Conductor, column: int, most: int | None) -> Fraction | None:
    """Give what a column has for the conductor with those parallel to it, by heat and what lies beside, or `most`.

    None where it has nothing.
    """
    base = _of_column(conductor, column)
    return None if base is None else _correct(base, place.ambient, place.current_carrying, column, most)


def _of_column(conductor: Conductor, column: int) -> int | None:
    gauge = gauge_of(conductor.size, conductor.material)
    base = None if gauge is None else ampacity(gauge, conductor.material, column)
    return None if base is None else base * in_parallel(conductor)


@functools.lru_cache(maxsize=4096)  # few amperes, and few places, are asked for: exact numbers are multiplied once
def _correct(base: int, ambient: Measured, together: int | None, column: int, most: int | None) -> Fraction:
    degrees_celsius = Fraction(whole(ambient.value, ambient.unit), whole(1, "degC"))
    found = base * (correction(degrees_celsius, column) or Fraction(0)) * adjustment(together)
    return found if most is None else min(found, Fraction(most))


@measure(CONDUCTOR, "conductor.ampacity", "amps", CARRIES)
def conductor_ampacity(question: Question, conductor: Conductor) -> int | None:
    """What the conductor carries in this place, by its own insulation, in tenths of an ampere rounded down."""
    if not holds_for("ampacity", question.code) or conductor.cable in APART:
        return None
    if is_fixture_wire(conductor):
        gauge = gauge_of(conductor.size, conductor.material)
        amps = None if gauge is None else fixture_ampacity(gauge)
        return None if amps is None else whole(amps, "A")
    rated: int | None = degrees(question, conductor)
    column = None if rated is None else column_for(rated // whole(1, "degC"))
    found = None if column is None else _corrected(question.place, conductor, column, _held_to(conductor))
    return None if found is None else tenths(found)


def _held_to(conductor: Conductor) -> int | None:
    """Give the amperes that its cable holds a conductor to after correction; None where it holds it to none."""
    cable = cable_insulation().get(conductor.cable)
    if cable is None or cable.final_degrees is None:
        return None
    return _of_column(conductor, cable.final_degrees)


@measure(CONDUCTOR, "conductor.ampacity_known", "flag", CARRIES)
def _ampacity_known(question: Question, conductor: Conductor) -> bool:
    """Whether what was stated suffices to tell what the conductor carries."""
    return conductor_ampacity(question, conductor) is not None


@measure(CONDUCTOR, "conductor.most_ampacity", "amps", f"{SHARED} conductor.cable")
def _most_ampacity(question: Question, conductor: Conductor) -> int | None:
    """What the conductor carries at the most, whatever its insulation and however cool the place."""
    if not holds_for("ampacity", question.code) or conductor.cable in APART:
        return None
    return _most_carried(conductor.size, conductor.material, in_parallel(conductor))


@functools.lru_cache(maxsize=4096)  # of the rows of a table
def _most_carried(given: Size, material: str, parallel: int) -> int:
    return tenths(most_amperes(given, material) * parallel * most_correction())


_LOAD = f"{CARRIES} conductor.role circuit.amps"


def _margin(question: Question, conductor: Conductor, carries: int | None) -> int | None:
    amps = question.circuit.amps
    if carries is None or amps is None or conductor.role not in CARRYING:
        return None
    return carries - whole(amps, "A")


@measure(CONDUCTOR, "conductor.load_margin", "amps", _LOAD)
def _load_margin(question: Question, conductor: Conductor) -> int | None:
    """How far the load stays below what the conductor carries here; below 0 where it exceeds it."""
    return (
        None if question.circuit.amps is None else _margin(question, conductor, conductor_ampacity(question, conductor))
    )


@measure(CONDUCTOR, "conductor.most_margin", "amps", f"{SHARED} conductor.cable conductor.role circuit.amps")
def _most_margin(question: Question, conductor: Conductor) -> int | None:
    """How far the load stays below what such a conductor carries at the most; below 0 where it exceeds it."""
    return _margin(question, conductor, _most_ampacity(question, conductor))


@functools.lru_cache(maxsize=4096)  # half a dozen measures of a conductor begin with it
def at_terminals(place: Place, conductor: Conductor, terminals: int) -> Fraction | None:
    """Give what the conductor carries between terminals of a column, by the best that its insulation may be."""
    held = _of_column(conductor, terminals)
    if held is None or conductor.cable in APART or is_fixture_wire(conductor):
        return None
    rated = degrees_in(place, conductor)
    column = COLUMNS[-1] if rated is None else column_for(rated // whole(1, "degC"))
    held_to = _held_to(conductor)
    most = held if held_to is None else min(held, held_to)
    return None if column is None else _corrected(place, conductor, column, most)


@measure(CONDUCTOR, "conductor.at_terminals_known", "flag", CARRIES)
def _at_terminals_known(question: Question, conductor: Conductor) -> bool:
    """Whether the tables tell what the conductor carries between terminals: not of cord or fixture wire."""
    return holds_for("ampacity", question.code) and at_terminals(question.place, conductor, COLUMNS[0]) is not None


@measure(CONDUCTOR, "conductor.continuous_margin", "amps", _LOAD)
def _continuous_margin(question: Question, conductor: Conductor) -> int | None:
    """How far a quarter more than the load stays below what the best terminals let the conductor carry, uncorrected."""
    if not holds_for("ampacity", question.code) or conductor.role not in CARRYING:
        return None
    amps = question.circuit.amps
    if amps is None:
        return None
    rated = degrees(question, conductor)
    column = terminal_column() if rated is None else min(terminal_column(), column_for(rated // whole(1, "degC")) or 0)
    base = None if column == 0 else _of_column(conductor, column)
    if base is None or conductor.cable in APART or is_fixture_wire(conductor):
        return None
    held_to = _held_to(conductor)
    return tenths((base if held_to is None else min(base, held_to)) - as_continuous(amperes(amps)))


@measure(CONDUCTOR, "conductor.joint_degrees", "temperature", f"{SHARED} conductor.cable conductor.role circuit.amps")
def _joint_degrees(question: Question, conductor: Conductor) -> int | None:
    """The temperature that a connector must be rated for: the coolest column in which the load is carried."""
    amps = question.circuit.amps
    if amps is None or conductor.role not in CARRYING or not holds_for("ampacity", question.code):
        return None
    gauge, shared = gauge_of(conductor.size, conductor.material), amps / in_parallel(conductor)
    column = None if gauge is None or conductor.cable == LEADS else least_column(gauge, conductor.material, shared)
    return None if column is None else whole(column, "degC")
