"""What a rule may test: every fact's name and kind, and the facts of one question.

Facts about the joint, its place, circuit and work are single; each distinct conductor has facts of its own.
Values are words, tuples of words, true or false, and whole numbers in base units (see units.py): nothing else
reaches an engine.
"""

from __future__ import annotations

import functools
from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING, Any

from splicewright.question import vocabulary as v
from splicewright.question.loads import CONDUCTOR, JOINT  # with those of measures.py
from splicewright.question.model import Conductor, Measured, Question
from splicewright.tables.insulation import insulation_types
from splicewright.units import Size, gauge_name, plain, whole

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

Value = str | int | bool | tuple[str, ...]


@dataclass(frozen=True, slots=True)
class FactKind:
    """What sort of value a fact has: `word`, `words`, `flag`, `count`, `size`, or a quantity's kind."""

    name: str
    kind: str
    words: tuple[str, ...] = ()
    reads: tuple[str, ...] = ()  # of a measure: the given facts it is made from
    about: str = ""


_SINGLE_LEAVES: dict[str, Any] = {
    "joint.purpose": v.PURPOSE,
    "place.exposure": v.EXPOSURE,
    "place.site": v.SITE,
    "place.enclosure": v.ENCLOSURE,
    "place.box_material": v.BOX_MATERIAL,
    "place.reach": v.REACH,
    "place.movement": v.MOVEMENT,
    "place.corrosion": list(v.CORROSION),
    "place.ambient": "temperature",
    "place.hazardous": "flag",
    "place.depth": "length",
    "place.cover": v.COVER,
    "place.wiring": v.WIRING,
    "place.dwelling": "flag",
    "circuit.kind": v.KIND,
    "circuit.serves": v.SERVES,
    "circuit.volts": "volts",
    "circuit.amps": "amps",
    "circuit.overcurrent_amps": "amps",
    "circuit.multiwire": "flag",
    "circuit.gfci": "flag",
    "work.reopened": v.REOPENED,
    "work.temporary": "flag",
    "work.wiring_age": v.WIRING_AGE,
}


def _conductor_leaves() -> dict[str, Any]:
    return {
        "conductor.size": "size",
        "conductor.count": "count",
        "conductor.material": v.MATERIAL,
        "conductor.construction": v.CONSTRUCTION,
        "conductor.finish": v.FINISH,
        "conductor.end": v.END,
        "conductor.condition": v.CONDITION,
        "conductor.cable": v.CABLE,
        "conductor.insulation": list(insulation_types()),
        "conductor.role": v.ROLE,
        "conductor.path": v.PATH,
    }


@functools.cache
def fact_kinds() -> Mapping[str, FactKind]:
    """Give every fact by its name, such as `place.exposure` or the measure `joint.count`."""
    found = {}
    for name, spec in {**_SINGLE_LEAVES, **_conductor_leaves()}.items():
        if isinstance(spec, str):
            found[name] = FactKind(name, spec)
        else:
            found[name] = FactKind(name, "words" if isinstance(spec, list) else "word", tuple(spec))
    for one in (*JOINT, *CONDUCTOR):
        found[one.name] = FactKind(one.name, one.kind, one.words, one.reads, one.about)
    return found


@dataclass(frozen=True, slots=True)
class Facts:
    """The facts of one question. A name without a value is absent: every comparison with it is false."""

    single: Mapping[str, Value]
    conductors: tuple[Mapping[str, Value], ...]  # one for each distinct conductor, in the question's order


def facts_of(question: Question) -> Facts:
    """Give the facts of a question, measures included."""
    around = (question.code, question.place, question.circuit, question.work)
    single = dict(_kept(around, lambda: _around_facts(question)))
    single["joint.purpose"] = question.joint.purpose
    for measure in _OF_JOINT:
        _put(single, measure.name, measure.kind, measure.value(question))
    conductors = [
        _kept((*around, one), functools.partial(_conductor_facts, question, one)) for one in question.joint.conductors
    ]
    return Facts(single, tuple(conductors))


_OF_JOINT = [one for one in JOINT if one.name.startswith("joint.")]
_OF_AROUND = [one for one in JOINT if not one.name.startswith("joint.")]
_MOST_KEPT = 4096
#: Facts of places, and of conductors in them. The questions of a job differ in few of either. A measure of a conductor,
#: or of what is around the joint, therefore looks at nothing else of the question (see measures.py).
_known: dict[Any, dict[str, Value]] = {}


def _kept(key: tuple[Any, ...], make: Callable[[], dict[str, Value]]) -> dict[str, Value]:
    found = _known.get(key)
    if found is None:
        if len(_known) >= _MOST_KEPT:
            _known.clear()
        found = _known[key] = make()
    return found


def _around_facts(question: Question) -> dict[str, Value]:
    found: dict[str, Value] = {}
    for name in _SINGLE_LEAVES:
        group, _, leaf = name.partition(".")
        value = None if group == "joint" else getattr(getattr(question, group), leaf)
        if value is not None:
            found[name] = _coded(value, fact_kinds()[name].kind)
    for measure in _OF_AROUND:
        _put(found, measure.name, measure.kind, measure.value(question))
    return found


def _conductor_facts(question: Question, conductor: Conductor) -> dict[str, Value]:
    found: dict[str, Value] = {}
    for name in _conductor_leaves():
        value = getattr(conductor, name.partition(".")[2])
        if value is not None:
            found[name] = _coded(value, fact_kinds()[name].kind)
    for measure in CONDUCTOR:
        _put(found, measure.name, measure.kind, measure.value(question, conductor))
    return found


def _put(into: dict[str, Value], name: str, kind: str, value: Any) -> None:
    if value is not None:
        into[name] = value.area if kind == "size" else value


def _coded(value: Any, kind: str) -> Value:
    if isinstance(value, Size):
        return value.area
    if isinstance(value, Measured):
        return whole(value.value, value.unit)
    if kind == "volts":
        return whole(value, "V")
    if kind == "amps":
        return whole(value, "A")
    coded: Value = value
    return coded


_PRINTED = {"length": "in", "temperature": "degC", "volts": "V", "amps": "A"}


def printed(question: Question, name: str, value: Value, conductor: Conductor | None = None) -> str:
    """Write a fact's value as an electrician reads it: `12 AWG`, `120 V`, `24 in`, `wet`, `yes`."""
    group, _, leaf = name.partition(".")
    given = getattr(conductor if group == "conductor" else getattr(question, group), leaf, None)
    if isinstance(given, Size | Measured):
        return str(given)
    kind = fact_kinds()[name].kind
    if kind == "size":
        sizes = {one.size.area: one.size.text for one in question.joint.conductors}
        return sizes.get(int(str(value))) or gauge_name(int(str(value)))
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, tuple):
        return " and ".join(value)
    if kind in _PRINTED:
        depth = question.place.depth
        unit = depth.unit if kind == "length" and depth else _PRINTED[kind]
        return f"{plain(round(float(Fraction(int(value), whole(1, unit))), 1))} {unit}"
    return str(value)
