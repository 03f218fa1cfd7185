"""From given values to a Question: refuse what is none, fill in defaults and note each of them."""

from __future__ import annotations

import functools
from collections.abc import Callable, Mapping
from copy import copy
from dataclasses import dataclass
from typing import Any

from splicewright.codes import codes
from splicewright.question import vocabulary as v
from splicewright.question.model import (
    Circuit,
    Conductor,
    Joint,
    Measured,
    ParsedQuestion,
    Place,
    Question,
    Work,
    merged,
)
from splicewright.question.read_as import load_taking
from splicewright.question.schema import MOST_CONDUCTORS, QuestionSchema
from splicewright.reading import Problem, Refused, join
from splicewright.strict_fields import ReadMap
from splicewright.units import size

_AMBIENT = {"value": 30, "unit": "degC"}

#: Defaults that depend on nothing else (api.md, "A question").
DEFAULTS: dict[str, dict[str, Any]] = {
    "": {"code": codes().default, "amendments": [], "catalogue": "shop", "limit": 5},
    "/place": {
        "premises": "general", "exposure": "dry", "site": "indoors", "box_material": "nonmetallic",
        "reach": "accessible", "movement": "still", "corrosion": [], "ambient": _AMBIENT, "hazardous": False,
        "cover": "general", "wiring": "direct", "dwelling": False,
    },
    "/circuit": {"kind": "branch", "serves": "general", "current": "ac", "multiwire": False, "gfci": False},
    "/work": {"reopened": "rarely", "temporary": False},
    "conductor": {
        "count": 1, "material": "copper", "finish": "plain", "end": "plain", "condition": "sound",
        "circuit": "A", "cable": "none", "path": "ends",
    },
}  # fmt: skip
DEFAULT_VOLTS = 120  # but for low-voltage kinds, whose volts are not stated
_SOLID_TO = {"awg": size("10 AWG"), "metric": size("6 mm2")}


@functools.cache
def _schema() -> QuestionSchema:
    return QuestionSchema()


def read_question(given: Any, *, explain: str = "full") -> ParsedQuestion:
    """Read one question. `explain` is its way in's default. Raises `Refused` with every problem.

    What is another way to write a word, a size or a quantity is taken for it and told in `read_as`.
    """
    if not isinstance(given, Mapping):
        raise Refused([Problem("", "a question is an object with a joint")])
    found, _, read_as = load_taking(_schema(), given, DEFAULTS[""]["code"])
    joint, whole = found["joint"], DEFAULTS[""]
    assumed: dict[str, Any] = {f"/{key}": value for key, value in whole.items() if key not in found}
    if "explain" not in found:
        assumed["/explain"] = explain
    place, circuit, work = [_read(found, part, make, assumed) for part, make in _MAKERS.items()]
    each = [one.made or _conductor(one) for one in joint["conductors"]]
    conductors = tuple([one.value for one in each])
    count = sum([one.count for one in conductors])
    if count > MOST_CONDUCTORS or work.wiring_age == "aluminum-branch" or any(map(_is_marked_bare, conductors)):
        _check_more(joint, work)
    for pointers, one in zip(_POINTERS, each, strict=False):
        for leaf, value in one.assumed.items():
            assumed[pointers[leaf]] = value
    purpose = joint.get("purpose")
    if purpose is None:
        purpose = assumed["/joint/purpose"] = "cap" if count == 1 else "splice"
    for pointer in _CHANGEABLE & assumed.keys():
        assumed[pointer] = copy(assumed[pointer])  # to change freely
    question = Question(
        code=found.get("code", whole["code"]),
        amendments=tuple(found.get("amendments", whole["amendments"])),
        catalogue=found.get("catalogue", whole["catalogue"]),
        joint=_joint(purpose, conductors),
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


def _filled(given: Mapping[str, Any], defaults: Mapping[str, Any]) -> tuple[dict[str, Any], dict[str, Any]]:
    """Give a part with its defaults, and those of them that it took."""
    return {**defaults, **given}, {key: value for key, value in defaults.items() if key not in given}


def _read(
    found: Mapping[str, Any], part: str, make: Callable[[Mapping[str, Any]], _Made], assumed: dict[str, Any]
) -> Any:
    given = found.get(part, _MISSING[part])
    made = given.made
    if made is None:
        made = make(given)
        made = given.made = _Made(made.value, {f"/{part}/{key}": value for key, value in made.assumed.items()})
    assumed.update(made.assumed)
    return made.value


def _place(given: Mapping[str, Any]) -> _Made:
    unboxed = given.get("exposure") in ("buried", "submerged")
    place, assumed = _filled(given, {**DEFAULTS["/place"], "enclosure": "none" if unboxed else "box"})
    depth = place.get("depth")
    measured = {"ambient": Measured(**place["ambient"]), "depth": Measured(**depth) if depth else None}
    return _Made(Place(**{**place, **measured, "corrosion": tuple(place["corrosion"])}), assumed)


_NOT_STATED = dict.fromkeys(("volts", "amps", "overcurrent_amps", "continuous"))


def _circuit(given: Mapping[str, Any]) -> _Made:
    low = given.get("kind") in v.LOW_VOLTAGE_KINDS
    defaults = DEFAULTS["/circuit"] if low else {**DEFAULTS["/circuit"], "volts": DEFAULT_VOLTS}
    circuit, assumed = _filled(given, defaults)
    return _Made(Circuit(**{**_NOT_STATED, **circuit}), assumed)


def _work(given: Mapping[str, Any]) -> _Made:
    work, assumed = _filled(given, DEFAULTS["/work"])
    return _Made(Work(**{"wiring_age": None, **work}), assumed)


_MAKERS = {"place": _place, "circuit": _circuit, "work": _work}
_MISSING = {part: ReadMap() for part in _MAKERS}


def _conductor(given: ReadMap) -> _Made:
    area = given["size"]
    solid = "solid" if area <= _SOLID_TO[area.system] else "stranded"
    bare = given.get("insulation") == ["bare"]
    defaults = {
        **DEFAULTS["conductor"],
        "construction": "fine-stranded" if given.get("cable") == "cord" else solid,
        "role": "equipment-grounding" if bare else "ungrounded",
    }
    filled, assumed = _filled(given, defaults)
    insulation = filled.pop("insulation", None)
    conductor = Conductor(**filled, insulation=tuple(insulation) if insulation else None)
    made = given.made = _Made(conductor, assumed)
    return made


_POINTERS = [
    {leaf: f"/joint/conductors/{at}/{leaf}" for leaf in (*DEFAULTS["conductor"], "construction", "role")}
    for at in range(MOST_CONDUCTORS)
]
_CHANGEABLE = {"/amendments", "/place/corrosion", "/place/ambient"}


def _is_marked_bare(conductor: Conductor) -> bool:
    insulation = conductor.insulation
    return insulation is not None and len(insulation) > 1 and "bare" in insulation


@functools.lru_cache(maxsize=4096)
def _joint(purpose: str, conductors: tuple[Conductor, ...]) -> Joint:
    return Joint(purpose, merged(conductors))


def _check_more(joint: Mapping[str, Any], work: Work) -> None:
    found = []
    conductors = joint["conductors"]
    total = sum(one.get("count", 1) for one in conductors)
    if total > MOST_CONDUCTORS:
        found.append(
            Problem("/joint/conductors", f"is {total} conductors in all; at most {MOST_CONDUCTORS} are allowed")
        )
    for at, one in enumerate(conductors):
        pointer = join("/joint/conductors", at)
        if work.wiring_age == "aluminum-branch" and "material" not in one:
            says = "is required where /work/wiring_age is aluminum-branch"
            found.append(Problem(join(pointer, "material"), says))
        if "bare" in one.get("insulation", ()) and len(one["insulation"]) > 1:
            says = "bare stands alone: a bare conductor has no insulation type"
            found.append(Problem(join(pointer, "insulation"), says))
    if found:
        raise Refused(found)
