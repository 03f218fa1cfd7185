"""From given values to a Question: refuse what is none, fill in defaults and note each of them."""

from __future__ import annotations

import functools
from collections.abc import Mapping
from copy import copy
from typing import Any

from splicewright.question import vocabulary as v
from splicewright.question.model import (
    Asked,
    Circuit,
    Conductor,
    Joint,
    Measured,
    Place,
    Question,
    Work,
    merged,
)
from splicewright.question.schema import MOST_CONDUCTORS, QuestionSchema
from splicewright.reading import Problem, Refused, join
from splicewright.strict import load
from splicewright.units import size

_AMBIENT = {"value": 30, "unit": "degC"}

#: Defaults that depend on nothing else (api.md, "A question").
DEFAULTS: dict[str, dict[str, Any]] = {
    "": {"code": "nfpa70-2023", "amendments": [], "catalogue": "shop", "limit": 5},
    "/place": {
        "exposure": "dry", "site": "indoors", "box_material": "nonmetallic", "reach": "accessible",
        "movement": "still", "corrosion": [], "ambient": _AMBIENT, "hazardous": False, "cover": "general",
        "wiring": "direct", "dwelling": False,
    },
    "/circuit": {"kind": "branch", "serves": "general", "multiwire": False, "gfci": False},
    "/work": {"reopened": "rarely", "temporary": False, "wiring_age": "new"},
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


def read_question(given: Any, *, explain: str = "full") -> Asked:
    """Read one question. `explain` is its way in's default. Raises `Refused` with every problem."""
    if not isinstance(given, Mapping):
        raise Refused([Problem("", "a question is an object with a joint")])
    found = load(_schema(), given)
    assumed: dict[str, Any] = {}
    whole_question = _filled(found, "", {**DEFAULTS[""], "explain": explain}, assumed)
    joint = found["joint"]
    place = _filled(found.get("place", {}), "/place", _place_defaults(found.get("place", {})), assumed)
    wired = found.get("circuit", {})
    circuit = _filled(wired, "/circuit", _circuit_defaults(wired), assumed)
    work = _filled(found.get("work", {}), "/work", DEFAULTS["/work"], assumed)
    _check_more(joint, work)
    conductors = [_conductor(one, join("/joint/conductors", at), assumed) for at, one in enumerate(joint["conductors"])]
    alone = sum(one.count for one in conductors) == 1
    purpose = _filled(joint, "/joint", {"purpose": "cap" if alone else "splice"}, assumed)["purpose"]
    question = Question(
        code=whole_question["code"],
        amendments=tuple(whole_question["amendments"]),
        catalogue=whole_question["catalogue"],
        joint=Joint(purpose, merged(conductors)),
        place=_place(place),
        circuit=Circuit(**{"volts": None, "amps": None, "overcurrent_amps": None, **circuit}),
        work=Work(**work),
    )
    return Asked(question, found.get("id"), whole_question["explain"], whole_question["limit"], assumed)


def _filled(
    given: Mapping[str, Any], pointer: str, defaults: Mapping[str, Any], assumed: dict[str, Any]
) -> dict[str, Any]:
    for key, value in defaults.items():
        if key not in given:
            assumed[join(pointer, key)] = copy(value)  # to change freely
    return {**defaults, **given}


def _place_defaults(given: Mapping[str, Any]) -> dict[str, Any]:
    unboxed = given.get("exposure") in ("buried", "submerged")
    return {**DEFAULTS["/place"], "enclosure": "none" if unboxed else "box"}


def _circuit_defaults(given: Mapping[str, Any]) -> dict[str, Any]:
    low = given.get("kind") in v.LOW_VOLTAGE_KINDS
    return DEFAULTS["/circuit"] if low else {**DEFAULTS["/circuit"], "volts": DEFAULT_VOLTS}


def _conductor(given: Mapping[str, Any], pointer: str, assumed: dict[str, Any]) -> Conductor:
    area = given["size"]
    solid = "solid" if area <= _SOLID_TO[area.system] else "stranded"
    bare = given.get("insulation") == ["bare"]
    defaults = {
        **DEFAULTS["conductor"],
        "construction": "fine-stranded" if given.get("cable") == "cord" else solid,
        "role": "equipment-grounding" if bare else "ungrounded",
    }
    filled = _filled(given, pointer, defaults, assumed)
    insulation = filled.pop("insulation", None)
    return Conductor(**filled, insulation=tuple(insulation) if insulation else None)


def _place(place: dict[str, Any]) -> Place:
    depth = place.pop("depth", None)
    return Place(
        **{
            **place,
            "corrosion": tuple(place["corrosion"]),
            "ambient": Measured(**place["ambient"]),
            "depth": Measured(**depth) if depth else None,
        }
    )


def _check_more(joint: Mapping[str, Any], work: Mapping[str, Any]) -> None:
    found = []
    conductors = joint["conductors"]
    total = sum(one.get("count", 1) for one in conductors)
    if total > MOST_CONDUCTORS:
        found.append(
            Problem("/joint/conductors", f"is {total} conductors in all; at most {MOST_CONDUCTORS} are allowed")
        )
    for at, one in enumerate(conductors):
        pointer = join("/joint/conductors", at)
        if work["wiring_age"] == "aluminum-branch" and "material" not in one:
            says = "is required where /work/wiring_age is aluminum-branch"
            found.append(Problem(join(pointer, "material"), says))
        if "bare" in one.get("insulation", ()) and len(one["insulation"]) > 1:
            says = "bare stands alone: a bare conductor has no insulation type"
            found.append(Problem(join(pointer, "insulation"), says))
    if found:
        raise Refused(found)
