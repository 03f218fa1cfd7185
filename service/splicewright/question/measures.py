"""Counts, ratios and comparisons between fields or conductors, as facts that a rule only has to compare.

Each measure is a small named function over the question and `tables/`. It says what it reads, so that a
finding that rests on it can be followed back to what was given. A measure that has no value gives None: no
rule fires on it. Measures of a conductor look at that conductor and at place, circuit, work and code; those of the
place and the circuit at the latter only; those called `joint.…` at everything.
"""

# ruff: noqa: D401 - a measure's docstring is its description, shown to people

from __future__ import annotations

from typing import TYPE_CHECKING, Any, NamedTuple

from splicewright.question.vocabulary import CABLE, CONSTRUCTION, MATERIAL, ROLE
from splicewright.tables.conductors import Run, least_cover, required_cover
from splicewright.units import gauge_steps, whole

if TYPE_CHECKING:
    from collections.abc import Callable

    from splicewright.question.model import Conductor, Question

_OF_NO_CIRCUIT = ("grounding-electrode", "bonding")
_GROUNDING = ("equipment-grounding", "isolated-grounding", *_OF_NO_CIRCUIT)
LEADS = "equipment-leads"  # made, sized and insulated as the listing of their equipment says, so no table judges them


class Measure(NamedTuple):
    """One measure: its fact's name, kind, words (for words), the facts it reads, and what it tells."""

    name: str
    kind: str
    words: tuple[str, ...]
    reads: tuple[str, ...]
    about: str
    value: Callable[..., Any]


JOINT: list[Measure] = []
CONDUCTOR: list[Measure] = []


def measure(
    into: list[Measure], name: str, kind: str, reads: str, words: Any = ()
) -> Callable[[Callable[..., Any]], Callable[..., Any]]:
    """Enter a function as the measure `name` into JOINT or CONDUCTOR. `reads` names the facts it is made from."""

    def add(function: Callable[..., Any]) -> Callable[..., Any]:
        into.append(Measure(name, kind, tuple(words), tuple(reads.split()), str(function.__doc__), function))
        return function

    return add


# --- of the joint, its place and its circuit ----------------------------------------


@measure(JOINT, "joint.count", "count", "conductor.count")
def _count(question: Question) -> int:
    """How many conductors enter the joint."""
    return sum(conductor.count for conductor in question.joint.conductors)


@measure(JOINT, "joint.through", "count", "conductor.path")
def _through(question: Question) -> int:
    """How many conductors pass through uncut."""
    return sum(conductor.count for conductor in question.joint.conductors if conductor.path == "through")


@measure(JOINT, "joint.circuits", "count", "conductor.circuit conductor.role")
def _circuits(question: Question) -> int:
    """How many circuits the conductors belong to, those for grounding left out."""
    return len({conductor.circuit for conductor in question.joint.conductors if conductor.role not in _GROUNDING})


@measure(JOINT, "joint.of_circuits", "flag", "conductor.role")
def _of_circuits(question: Question) -> bool:
    """Whether any conductor runs with a circuit: one that is no electrode conductor and no bonding jumper."""
    return any(conductor.role not in _OF_NO_CIRCUIT for conductor in question.joint.conductors)


@measure(JOINT, "joint.metals", "count", "conductor.material")
def _metals(question: Question) -> int:
    """How many kinds of conductor metal meet in the joint."""
    return len({conductor.material for conductor in question.joint.conductors})


@measure(JOINT, "joint.gauge_steps", "count", "conductor.size")
def _gauge_steps(question: Question) -> int:
    """How many AWG steps lie between the smallest and the largest conductor, rounded up."""
    sizes = [conductor.size for conductor in question.joint.conductors]
    return gauge_steps(min(sizes), max(sizes))


@measure(JOINT, "joint.largest", "size", "conductor.size")
def _largest(question: Question) -> Any:
    """The largest conductor's size."""
    return max(conductor.size for conductor in question.joint.conductors)


@measure(JOINT, "joint.smallest", "size", "conductor.size")
def _smallest(question: Question) -> Any:
    """The smallest conductor's size."""
    return min(conductor.size for conductor in question.joint.conductors)


def _only(question: Question, field: str) -> str:
    found = {getattr(conductor, field) for conductor in question.joint.conductors}
    return str(found.pop()) if len(found) == 1 else "mixed"


@measure(JOINT, "joint.only_role", "word", "conductor.role", (*ROLE, "mixed"))
def _only_role(question: Question) -> str:
    """The role that all conductors share, or mixed."""
    return _only(question, "role")


@measure(JOINT, "joint.only_material", "word", "conductor.material", (*MATERIAL, "mixed"))
def _only_material(question: Question) -> str:
    """The metal that all conductors share, or mixed."""
    return _only(question, "material")


@measure(JOINT, "joint.only_construction", "word", "conductor.construction", (*CONSTRUCTION, "mixed"))
def _only_construction(question: Question) -> str:
    """The construction that all conductors share, or mixed."""
    return _only(question, "construction")


@measure(JOINT, "joint.only_cable", "word", "conductor.cable", (*CABLE, "mixed"))
def _only_cable(question: Question) -> str:
    """The kind of cable that all conductors share, or mixed."""
    return _only(question, "cable")


@measure(JOINT, "joint.roles", "words", "conductor.role", ROLE)
def _roles(question: Question) -> tuple[str, ...]:
    """The roles that meet in the joint."""
    return tuple(sorted({conductor.role for conductor in question.joint.conductors}))


@measure(JOINT, "joint.materials", "words", "conductor.material", MATERIAL)
def _materials(question: Question) -> tuple[str, ...]:
    """The metals that meet in the joint."""
    return tuple(sorted({conductor.material for conductor in question.joint.conductors}))


@measure(JOINT, "place.depth_stated", "flag", "place.depth")
def _depth_stated(question: Question) -> bool:
    """Whether the cover over the wiring was given."""
    return question.place.depth is not None


def buried_run(question: Question) -> Run:
    """Give what the cover table asks of the wiring."""
    place, circuit = question.place, question.circuit
    return Run(
        place.cover,
        place.wiring,
        place.dwelling,
        circuit.kind,
        circuit.gfci,
        circuit.volts,
        circuit.overcurrent_amps,
    )


_ROW = "place.cover place.wiring place.dwelling"
_COVER = f"{_ROW} circuit.kind circuit.gfci circuit.volts circuit.overcurrent_amps"


@measure(JOINT, "place.required_cover", "length", _COVER)
def _required_cover(question: Question) -> int:
    """The least cover that the table asks for, in its figure for the unit of the depth that was given."""
    unit = _depth_unit(question)
    return whole(required_cover(buried_run(question), unit), unit)


def _depth_unit(question: Question) -> str:
    return question.place.depth.unit if question.place.depth else "in"


@measure(JOINT, "place.cover_shortfall", "length", _COVER + " place.depth")
def _cover_shortfall(question: Question) -> int | None:
    """By how much the cover falls short of the table; below 0 where there is more than enough."""
    depth = question.place.depth
    if depth is None:
        return None
    # Nor is there a value where volts or amperes that were not stated decide whether the depth is enough.
    given = whole(depth.value, depth.unit)
    needed, least = (
        _required_cover(question),
        whole(least_cover(buried_run(question), depth.unit), depth.unit),
    )
    return None if least <= given < needed else needed - given


@measure(JOINT, "place.cover_judged", "flag", _COVER + " place.depth")
def _cover_judged(question: Question) -> bool:
    """Whether what was stated suffices to judge the cover: depth, and the volts and amperes it turns on."""
    return _cover_shortfall(question) is not None


@measure(JOINT, "work.age_stated", "flag", "work.wiring_age")
def _age_stated(question: Question) -> bool:
    """Whether the age of the wiring was given."""
    return question.work.wiring_age is not None


@measure(JOINT, "circuit.volts_stated", "flag", "circuit.volts")
def _volts_stated(question: Question) -> bool:
    """Whether the volts are known."""
    return question.circuit.volts is not None


@measure(JOINT, "circuit.load_stated", "flag", "circuit.amps")
def _load_stated(question: Question) -> bool:
    """Whether the load was given."""
    return question.circuit.amps is not None


@measure(JOINT, "circuit.nameplate_stated", "flag", "circuit.nameplate_amps")
def _nameplate_stated(question: Question) -> bool:
    """Whether the largest device that the nameplate allows was given."""
    return question.circuit.nameplate_amps is not None


@measure(JOINT, "circuit.overcurrent_stated", "flag", "circuit.overcurrent_amps")
def _overcurrent_stated(question: Question) -> bool:
    """Whether the rating of the overcurrent device was given."""
    return question.circuit.overcurrent_amps is not None


# --- what one of several in parallel has of the circuit --------------------------------------------


def _shared(amps: float | None, conductor: Conductor) -> int | None:
    """Give in tenths, rounded up, what each of the conductors in parallel has of some amperes."""
    return None if amps is None else -(-whole(amps, "A") // (conductor.parallel or 1))


@measure(CONDUCTOR, "conductor.load", "amps", "conductor.parallel circuit.amps")
def _load(question: Question, conductor: Conductor) -> int | None:
    """What the conductor carries of the load; of several in parallel each has its share."""
    return _shared(question.circuit.amps, conductor)


@measure(CONDUCTOR, "conductor.device", "amps", "conductor.parallel circuit.overcurrent_amps")
def _device(question: Question, conductor: Conductor) -> int | None:
    """What the overcurrent device lets the conductor carry; of several in parallel each has its share."""
    return _shared(question.circuit.overcurrent_amps, conductor)
