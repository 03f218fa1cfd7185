"""What a rule may test: every fact's name and kind, and the facts of one question.

Facts about the joint, its place, circuit and work are single; each distinct conductor has facts of its own.
Values are words, tuples of words, true or false, and whole numbers in base units (see units.py): nothing else
reaches an engine.
"""

from __future__ import annotations

import functools
from dataclasses import dataclass, field
from fractions import Fraction
from operator import attrgetter
from typing import TYPE_CHECKING, Any

from splicewright.question import vocabulary as v
from splicewright.question.loads import CONDUCTOR, JOINT  # with those of measures.py
from splicewright.question.model import Conductor, Measured, Question
from splicewright.tables.insulation import insulation_types
from splicewright.units import Size, gauge_name, plain, whole

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Mapping

    from splicewright.question.measures import Measure

Value = str | int | bool | tuple[str, ...]


@dataclass(frozen=True, slots=True)
class FactKind:
    """What sort of value a fact has: `word`, `words`, `flag`, `count`, `size`, or a quantity's kind."""

    name: str
    kind: str
    words: tuple[str, ...] = ()
    reads: tuple[str, ...] = ()  # of a measure: the given facts it is made from
    about: str = ""

    @property
    def decided_by(self) -> frozenset[str]:
        """The leaves of a question that decide the value and how it is printed; `joint` for all of its conductors.

        What a measure reads of conductors it reads of the whole joint, unless it is a conductor's own. A length is
        printed in the unit of the depth, a size as some conductor of the joint has it.
        """
        found = set(self.reads or [self.name])
        if not self.name.startswith("conductor."):
            found = {"joint" if name.startswith(("conductor.", "joint.")) else name for name in found}
        if self.kind == "length":
            found.add("place.depth")
        if self.kind == "size" and self.reads:
            found.add("joint")
        return frozenset(found)

    @property
    def parts(self) -> frozenset[str]:
        """The parts of a question that these leaves are in."""
        return frozenset(name.partition(".")[0] for name in self.decided_by)


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
    """The facts of one question. A name without a value is absent: every comparison with it is false.

    `lines` and `conductor_lines` have them in print, as `name: printed value`.
    """

    single: Mapping[str, Value]
    conductors: tuple[Mapping[str, Value], ...]  # one for each distinct conductor, in the question's order
    lines: Mapping[str, str] = field(default_factory=dict, compare=False, repr=False)
    conductor_lines: tuple[Mapping[str, str], ...] = field(default=(), compare=False, repr=False)


def facts_of(question: Question) -> Facts:
    """Give the facts of a question, measures included."""
    of_parts: dict[str, Any] = {"place": question.place, "circuit": question.circuit, "work": question.work}
    of_parts["joint"] = question.joint
    of_question, of_conductors = _groups()
    single, lines = _gathered(question, of_parts, of_question, None)
    conductors = []
    for one in question.joint.conductors:
        of_parts["conductor"] = one
        conductors.append(_gathered(question, of_parts, of_conductors, one))
    of_each = tuple([facts for facts, _ in conductors])
    return Facts(single, of_each, lines, tuple([printed for _, printed in conductors]))


@dataclass(frozen=True, slots=True)
class _Group:
    """Leaves and measures that the same parts of a question decide, and the code.

    `deciding` gives what decides them: of each part, it or those of its leaves that are looked at.
    """

    deciding: tuple[tuple[str, Callable[[Any], Any] | None], ...]
    leaves: tuple[str, ...]
    measures: tuple[Measure, ...]


@functools.cache
def _groups() -> tuple[tuple[_Group, ...], tuple[_Group, ...]]:
    """Give the groups of single facts, and those of a conductor's facts."""
    return _grouped(_SINGLE_LEAVES, JOINT), _grouped(_conductor_leaves(), CONDUCTOR)


def _grouped(leaves: Iterable[str], measures: Iterable[Measure]) -> tuple[_Group, ...]:
    of_measures = {one.name: one for one in measures}
    groups: dict[tuple[str, ...], list[str]] = {}
    for name in (*leaves, *of_measures):
        groups.setdefault(tuple(sorted(fact_kinds()[name].parts)), []).append(name)
    return tuple(
        _Group(
            tuple((part, None if len(parts) == 1 else _looked_at(part, names)) for part in parts),
            tuple(name for name in names if name not in of_measures),
            tuple(of_measures[name] for name in names if name in of_measures),
        )
        for parts, names in groups.items()
    )


def _looked_at(part: str, names: Iterable[str]) -> Callable[[Any], Any] | None:
    """Give what takes those leaves of a part that decide some facts; None for the whole joint."""
    decided_by = frozenset[str]().union(*(fact_kinds()[name].decided_by for name in names))
    leaves = sorted(name.partition(".")[2] for name in decided_by if name.startswith(f"{part}."))
    return attrgetter(*leaves) if leaves else None


_MOST_KEPT = 6000
_Known = tuple[dict[str, Value], dict[str, str]]
#: The facts that some leaves of a question decide, and their lines: the questions of a job differ in few of them. A
#: measure therefore looks at no other leaf than `FactKind.decided_by` tells (see measures.py).
_known: dict[Any, _Known] = {}


def _gathered(
    question: Question, of_parts: Mapping[str, Any], groups: Iterable[_Group], conductor: Conductor | None
) -> _Known:
    facts: dict[str, Value] = {}
    lines: dict[str, str] = {}
    code = question.code
    for group in groups:
        decided = [of_parts[part] if look is None else look(of_parts[part]) for part, look in group.deciding]
        key = (code, group.deciding, *decided)
        found = _known.get(key)
        if found is None:
            if len(_known) >= _MOST_KEPT:
                _known.clear()
            found = _known[key] = _made(question, group, conductor)
        facts |= found[0]
        lines |= found[1]
    return facts, lines


def _made(question: Question, group: _Group, conductor: Conductor | None) -> _Known:
    facts: dict[str, Value] = {}
    for name in group.leaves:
        part, _, leaf = name.partition(".")
        value = getattr(conductor or getattr(question, part), leaf)
        if value is not None:
            facts[name] = _coded(value, fact_kinds()[name].kind)
    asked = (question,) if conductor is None else (question, conductor)
    for measure in group.measures:
        _put(facts, measure.name, measure.kind, measure.value(*asked))
    lines = {name: _line(question, name, value, conductor) for name, value in facts.items()}
    if conductor and group.leaves:
        lines[_LABEL] = f"{_LABEL}: {conductor.circuit}"
    return facts, lines


_MOST_LINES = 20_000
#: Lines of values that are printed alike in every question.
_lines: dict[tuple[str, Value], str] = {}


def _line(question: Question, name: str, value: Value, conductor: Conductor | None) -> str:
    kind = fact_kinds()[name]
    if kind.kind in ("size", "length") or (kind.kind == "temperature" and not kind.reads):  # as the question has them
        return f"{name}: {printed(question, name, value, conductor)}"
    line = _lines.get((name, value))
    if line is None:
        line = f"{name}: {printed(question, name, value, conductor)}"
        if len(_lines) >= _MOST_LINES:
            _lines.clear()
        _lines[name, value] = line
    return line


_LABEL = "conductor.circuit"  # which measures read though no rule may test it


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
