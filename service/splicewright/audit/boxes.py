"""A box to its parts: the box itself, and each joint in it."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from typing import Any

from splicewright.audit.answers import of_box
from splicewright.audit.finding import digest
from splicewright.audit.verdicts import JudgedPart, Verdict, Verdicts, id_of, in_full, invalid, moved
from splicewright.audit.waivers import take_waivers
from splicewright.box import fill_box
from splicewright.json_pointer import join
from splicewright.refusals import Problem, Refused
from splicewright.work import Budget

_OUTCOMES = {True: "fits", False: "too small", None: "not known"}


def box_parts(given: Mapping[str, Any], verdicts: Verdicts, base: str = "") -> Iterator[JudgedPart]:
    """Judge a box that stands at `base` in its entry, then its joints."""
    value, waive = take_waivers(given)
    value, waived = _without_waivers(value)
    known_by = id_of(value) or digest(value)
    about = (base, id_of(value), known_by)
    try:
        answer = fill_box(in_full(value), verdicts.chooser, budget=Budget(math.inf))
    except Refused as error:
        yield JudgedPart(*about, moved(base, invalid(error)), waive, value.get("code"))
        return
    judged = moved(base, of_box(answer))
    yield JudgedPart(*about, judged, waive, value.get("code"), verdict=Verdict(judged, _OUTCOMES[answer["fits"]]))
    for number, decided in enumerate(answer["joints"]):
        yield _joint(value, number, decided, waived[number], verdicts, base, known_by)


def _without_waivers(value: dict[str, Any]) -> tuple[dict[str, Any], list[Any]]:
    """Take the waivers out of the joints."""
    joints = value.get("joints")
    if not isinstance(joints, list):
        return value, []
    parted = [take_waivers(joint) if isinstance(joint, Mapping) else (joint, None) for joint in joints]
    return {**value, "joints": [one for one, _ in parted]}, [one for _, one in parted]


def _joint(
    box: Mapping[str, Any],
    number: int,
    decided: Mapping[str, Any],
    waive: Any,
    verdicts: Verdicts,
    base: str,
    known_by: str,
) -> JudgedPart:
    asked, within = box["joints"][number], join("/joints", number)
    about = (base + within, id_of(asked), f"{known_by}/{id_of(asked) or digest(asked)}")
    if decided["outcome"] == "error":
        problems = Refused(Problem.from_dict(error) for error in decided["errors"])
        return JudgedPart(*about, moved(base, invalid(problems)), waive, box.get("code"))
    found = verdicts.of_answer(decided, box, within)
    return JudgedPart(*about, moved(base, found.judged), waive, box.get("code"), asked, found)
