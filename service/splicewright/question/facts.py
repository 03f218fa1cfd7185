"""The facts of one question, made in shares that questions with the same leaves have in common, and as they are told.

A fact is told in a line: `place.exposure: buried`. What a finding rests on are such lines, and ids of rules.
"""

from __future__ import annotations

import functools
from dataclasses import dataclass, field
from fractions import Fraction
from operator import attrgetter
from typing import TYPE_CHECKING, Any

from splicewright.memo import Memo
from splicewright.question.fact_kinds import CONDUCTOR_LEAVES, SINGLE_LEAVES, Value, fact_kinds
from splicewright.question.measures import CONDUCTOR, JOINT
from splicewright.question.model import Conductor, Question
from splicewright.units import Measured, Size, gauge_name, plain, whole

if TYPE_CHECKING:
    from collections.abc import Callable, Collection, Iterable, Mapping

    from splicewright.question.measures import Measure


_BETWEEN = ": "


def fact_line(name: str, told: object) -> str:
    """Write a fact as a line."""
    return f"{name}{_BETWEEN}{told}"


def fact_and_told(line: str) -> tuple[str, str]:
    """Give the name of the fact that a line has, and its value in words; both are empty for an empty line."""
    name, _, told = line.partition(_BETWEEN)
    return name, told


class Facts:
    """The facts of one question. A name without a value is absent: every comparison with it is false.

    `single` are those of joint, place, circuit and work; `conductors` those of each distinct conductor, in the
    question's order. `lines` and `conductor_lines` have them in print.
    """

    def __init__(
        self,
        single: Mapping[str, Value],
        conductors: tuple[Mapping[str, Value], ...],
        question: Question | None = None,
    ) -> None:
        """Take facts by their names. Without the question that they are of, they are not in print."""
        self.single, self.conductors = single, conductors
        self.lines = _Lines(single, question, None)
        self.conductor_lines = tuple(
            [
                _Lines(facts, question, question.joint.conductors[at] if question else None)
                for at, facts in enumerate(conductors)
            ]
        )

    @classmethod
    def of(cls, single: Mapping[str, Value], conductors: Iterable[Mapping[str, Value]] = ()) -> Facts:
        """Give facts by their names, not in print."""
        return cls(single, tuple(conductors))

    def __eq__(self, other: object) -> bool:
        """Compare the facts, not how they are in print."""
        return isinstance(other, Facts) and (self.single, self.conductors) == (other.single, other.conductors)

    __hash__ = None  # type: ignore[assignment]

    def value(self, name: str, conductor: int | None = None) -> Value | None:
        """Give a single fact, or one of a conductor; None where it is absent."""
        return (self.single if conductor is None else self.conductors[conductor]).get(name)

    def text(self, name: str, conductor: int | None = None) -> str:
        """Give only the printed value of a single fact, or of a conductor's; empty where there is none."""
        lines = self.lines if conductor is None else self.conductor_lines[conductor]
        return lines[name][len(name) + len(_BETWEEN) :]


class _Lines(dict[str, str]):
    """Facts in print, `name: printed value`, each printed when it is first asked for; empty where it is absent.

    A conductor's circuit, its label, is printed too.
    """

    __slots__ = ("_conductor", "_facts", "_question")

    def __init__(self, facts: Mapping[str, Value], question: Question | None, conductor: Conductor | None) -> None:
        super().__init__()
        self._facts, self._question, self._conductor = facts, question, conductor

    def __missing__(self, name: str) -> str:
        """Print one."""
        value, line = self._facts.get(name), ""
        if name == LABEL and self._conductor:
            line = fact_line(LABEL, self._conductor.circuit)
        elif value is not None and self._question:
            line = _line(self._question, name, value, self._conductor)
        self[name] = line
        return line


def _together(maps: Iterable[Mapping[str, Value]]) -> Mapping[str, Value]:
    found: dict[str, Value] = {}
    for one in maps:
        found.update(one)
    return found


def facts_of(question: Question) -> Facts:
    """Give the facts of a question, measures included."""
    of_question, of_conductors = _groups()
    conductors = [
        _together([one.share(question, conductor) for one in of_conductors]) for conductor in question.joint.conductors
    ]
    return Facts(_together([one.share(question, None) for one in of_question]), tuple(conductors), question)


MOST_KEPT = 1000


@dataclass(frozen=True, slots=True)
class _Leaf:
    """A leaf that is a fact: where a question, or a conductor, has it, and how it is coded."""

    name: str
    value: Callable[[Any], Any]
    coded: Callable[[Any], Value]

    @classmethod
    def of(cls, name: str) -> _Leaf:
        """Read a leaf by its name."""
        return cls(name, attrgetter(name.removeprefix("conductor.")), _CODED.get(fact_kinds()[name].kind, _as_it_is))


@dataclass(frozen=True, slots=True, eq=False)
class _Group:
    """Leaves and measures that the same parts of a question decide, and the code.

    What decides them is given by `of_question` and `of_conductor`, and what it decides is kept: the questions of a job
    differ in few leaves. A measure therefore looks at no other leaf than `FactKind.decided_by` tells (see measures.py).
    """

    of_question: Callable[[Question], Any]
    of_conductor: Callable[[Conductor], Any]
    leaves: tuple[_Leaf, ...]
    measures: tuple[Measure, ...]
    kept: Memo[Any, Mapping[str, Value]] = field(default_factory=lambda: Memo(MOST_KEPT))

    def share(self, question: Question, conductor: Conductor | None) -> Mapping[str, Value]:
        """Give the group's facts of a question, or of one of its conductors."""
        key = self.of_question(question)
        if conductor is not None:
            key = (key, self.of_conductor(conductor))
        found = self.kept.get(key)
        return self.kept.keep(key, _made(question, self, conductor)) if found is None else found


@functools.cache
def _groups() -> tuple[tuple[_Group, ...], tuple[_Group, ...]]:
    """Give the groups of single facts, and those of a conductor's facts."""
    return _grouped(SINGLE_LEAVES, JOINT), _grouped(CONDUCTOR_LEAVES, CONDUCTOR)


def _grouped(leaves: Iterable[str], measures: Iterable[Measure]) -> tuple[_Group, ...]:
    of_measures = {measure.name: measure for measure in measures}
    groups: dict[tuple[str, ...], list[str]] = {}
    for name in (*leaves, *of_measures):
        groups.setdefault(tuple(sorted(fact_kinds()[name].parts)), []).append(name)
    return tuple(
        _Group(
            attrgetter("code", *_decided_by(parts, names, of_conductor=False)),
            _of_conductor(parts, names),
            tuple(_Leaf.of(name) for name in names if name not in of_measures),
            tuple(of_measures[name] for name in names if name in of_measures),
        )
        for parts, names in groups.items()
    )


def _of_conductor(parts: Collection[str], names: Iterable[str]) -> Callable[[Conductor], Any]:
    leaves = _decided_by(parts, names, of_conductor=True)
    return attrgetter(*leaves) if leaves and len(parts) > 1 else lambda conductor: conductor


def _decided_by(parts: Collection[str], names: Iterable[str], *, of_conductor: bool) -> list[str]:
    """Give what decides some facts, as a question or a conductor has it: one part as a whole, of several the leaves."""
    if len(parts) == 1 and not of_conductor:
        return [part for part in parts if part != "conductor"]
    decided_by = frozenset[str]().union(*(fact_kinds()[name].decided_by for name in names))
    leaves = [one for one in decided_by if one.startswith("conductor.") is of_conductor]
    return sorted(leaf.removeprefix("conductor.") for leaf in leaves)


def _made(question: Question, group: _Group, conductor: Conductor | None) -> Mapping[str, Value]:
    facts: dict[str, Value] = {}
    whose = question if conductor is None else conductor
    for leaf in group.leaves:
        value = leaf.value(whose)
        if value is not None:
            facts[leaf.name] = leaf.coded(value)
    asked = (question,) if conductor is None else (question, conductor)
    for measure in group.measures:
        value = measure.value(*asked)
        if value is not None:
            facts[measure.name] = value.area if measure.kind == "size" else value
    return facts


def _as_it_is(value: Value) -> Value:
    return value


#: How the leaves of a kind are coded; others are facts as they are.
_CODED: Mapping[str, Callable[[Any], Value]] = {
    "size": attrgetter("area"),
    "length": lambda given: whole(given.value, given.unit),
    "temperature": lambda given: whole(given.value, given.unit),
    "volts": lambda given: whole(given, "V"),
    "amps": lambda given: whole(given, "A"),
}


MOST_LINES = 20_000
#: Lines of values that are printed alike in every question.
_lines: Memo[tuple[str, Value], str] = Memo(MOST_LINES)


def _line(question: Question, name: str, value: Value, conductor: Conductor | None) -> str:
    if name in _as_given():
        return fact_line(name, printed(question, name, value, conductor))
    line = _lines.get((name, value))
    if line is None:
        line = _lines.keep((name, value), fact_line(name, printed(question, name, value, conductor)))
    return line


@functools.cache
def _as_given() -> frozenset[str]:
    """Give the facts that are printed as the question has them."""
    return frozenset(
        name
        for name, kind in fact_kinds().items()
        if kind.kind in ("size", "length") or (kind.kind == "temperature" and not kind.reads)
    )


LABEL = "conductor.circuit"  # which measures read though no rule may test it


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
