"""From given values to a Question: refuse what is none, fill in defaults and note each of them."""

from __future__ import annotations

import functools
from collections.abc import Mapping
from copy import copy
from dataclasses import dataclass
from typing import Any

from splicewright.question.leaf import held, leaves_of
from splicewright.question.model import (
    MOST_CONDUCTORS,
    Circuit,
    Conductor,
    Joint,
    ParsedQuestion,
    Place,
    Question,
    Work,
    merged,
)
from splicewright.question.read_as import load_taking
from splicewright.question.schema import QuestionSchema
from splicewright.reading import Problem, Refused, Says, join
from splicewright.strict_fields import Items
from splicewright.strict_schema import QuantityField, ReadMap, defaults_of, made_once


class _PartReader:
    """Makes a part of what was given of it, by the declarations of its leaves."""

    def __init__(self, kind: type) -> None:
        leaves = leaves_of(kind)
        self.kind = kind
        self.defaults = {
            name: leaf.default for name, leaf in leaves.items() if leaf.default is not None and not leaf.depends
        }
        self.depending = {name: leaf.default for name, leaf in leaves.items() if leaf.depends}
        self.converted = [name for name, leaf in leaves.items() if isinstance(leaf.field, Items | QuantityField)]

    def filled(self, given: Mapping[str, Any]) -> tuple[dict[str, Any], dict[str, Any]]:
        """Give what its model is made of, and the defaults that were taken; the model has the others itself."""
        assumed = {leaf: default for leaf, default in self.defaults.items() if leaf not in given}
        leaves = {**given}
        for leaf in self.converted:
            if leaf in given:
                leaves[leaf] = held(given[leaf])
        for leaf, default_of in self.depending.items():
            if leaf not in given:
                leaves[leaf] = default = default_of(given)
                if default is not None:
                    assumed[leaf] = default
        return leaves, assumed

    def made(self, given: Mapping[str, Any]) -> _Made:
        """Make the part."""
        leaves, assumed = self.filled(given)
        return _Made(self.kind(**leaves), assumed)


_CONDUCTOR, _JOINT = _PartReader(Conductor), _PartReader(Joint)
_PARTS = {"place": _PartReader(Place), "circuit": _PartReader(Circuit), "work": _PartReader(Work)}
_MISSING = {part: ReadMap() for part in _PARTS}
#: Defaults that depend on nothing else.
DEFAULTS: dict[str, dict[str, Any]] = {
    "": defaults_of(QuestionSchema),
    **{f"/{name}": part.defaults for name, part in {"joint": _JOINT, **_PARTS}.items()},
    "conductor": _CONDUCTOR.defaults,
}


def read_question(given: Any, *, explain: str = "full") -> ParsedQuestion:
    """Read one question. `explain` is its way in's default. Raises `Refused` with every problem.

    What is another way to write a word, a size or a quantity is taken for it and told in `read_as`.
    """
    if not isinstance(given, Mapping):
        raise Refused([Problem("", Says("a question is an object with a joint", "wrong-type"))])
    found, _, read_as = load_taking(made_once(QuestionSchema), given, DEFAULTS[""]["code"])
    joint, whole = found["joint"], DEFAULTS[""]
    assumed: dict[str, Any] = {f"/{key}": value for key, value in whole.items() if key not in found}
    if "explain" not in found:
        assumed["/explain"] = explain
    place, circuit, work = [_read(found, name, part, assumed) for name, part in _PARTS.items()]
    made_of = [given.made or _conductor(given) for given in joint["conductors"]]
    conductors = tuple([made.value for made in made_of])
    count = sum([conductor.count for conductor in conductors])
    if count > MOST_CONDUCTORS or work.wiring_age == "aluminum-branch" or any(map(_is_marked_bare, conductors)):
        _check_more(joint, work)
    for pointers, made in zip(_POINTERS, made_of, strict=False):
        for leaf, value in made.assumed.items():
            assumed[pointers[leaf]] = value
    leaves, assumed_of_joint = _JOINT.filled({**joint, "conductors": conductors})
    for leaf, value in assumed_of_joint.items():
        assumed[f"/joint/{leaf}"] = value
    for pointer in _CHANGEABLE & assumed.keys():
        assumed[pointer] = copy(assumed[pointer])  # to change freely
    question = Question(
        code=found.get("code", whole["code"]),
        amendments=(),
        catalogue=found.get("catalogue", whole["catalogue"]),
        joint=_joint(**leaves),
        place=place,
        circuit=circuit,
        work=work,
    )
    limit = found.get("limit", whole["limit"])
    return ParsedQuestion(question, found.get("id"), found.get("explain", explain), limit, assumed, conductors, read_as)


@dataclass(frozen=True, slots=True)
class _Made:
    """What was made of a part: its value, and the defaults that it took, by pointer or (of a conductor) by leaf."""

    value: Any
    assumed: Mapping[str, Any]


def _read(found: Mapping[str, Any], name: str, part: _PartReader, assumed: dict[str, Any]) -> Any:
    given = found.get(name, _MISSING[name])
    made = given.made
    if made is None:
        made = part.made(given)
        made = given.made = _Made(made.value, {f"/{name}/{leaf}": value for leaf, value in made.assumed.items()})
    assumed.update(made.assumed)
    return made.value


def _conductor(given: ReadMap) -> _Made:
    made = given.made = _CONDUCTOR.made(given)
    return made


_POINTERS = [
    {leaf: f"/joint/conductors/{at}/{leaf}" for leaf in (*_CONDUCTOR.defaults, *_CONDUCTOR.depending)}
    for at in range(MOST_CONDUCTORS)
]
#: Defaults that whoever gets them may change, so that each gets its own.
_CHANGEABLE = {
    pointer
    for part, defaults in DEFAULTS.items()
    for leaf, default in defaults.items()
    if isinstance(default, list | dict)
    for pointer in ([of[leaf] for of in _POINTERS] if part == "conductor" else [f"{part}/{leaf}"])
}


def _is_marked_bare(conductor: Conductor) -> bool:
    insulation = conductor.insulation
    return insulation is not None and len(insulation) > 1 and "bare" in insulation


@functools.lru_cache(maxsize=4096)
def _joint(*, conductors: tuple[Conductor, ...], **leaves: Any) -> Joint:
    return Joint(conductors=merged(conductors), **leaves)


def _check_more(joint: Mapping[str, Any], work: Work) -> None:
    found = []
    conductors = joint["conductors"]
    total = sum(conductor.get("count", 1) for conductor in conductors)
    if total > MOST_CONDUCTORS:
        found.append(
            Problem(
                "/joint/conductors",
                Says(f"is {total} conductors in all; at most {MOST_CONDUCTORS} are allowed", "wrong-count"),
            )
        )
    for at, conductor in enumerate(conductors):
        pointer = join("/joint/conductors", at)
        if work.wiring_age == "aluminum-branch" and "material" not in conductor:
            says = Says("is required where /work/wiring_age is aluminum-branch", "missing")
            found.append(Problem(join(pointer, "material"), says))
        if "bare" in conductor.get("insulation", ()) and len(conductor["insulation"]) > 1:
            alone = "bare stands alone: a bare conductor has no insulation type"
            found.append(Problem(join(pointer, "insulation"), alone))
    if found:
        raise Refused(found)
