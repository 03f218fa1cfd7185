"""Whether the patches of remedies, applied with a library to what was sent and asked again, give what was told.

`python -m tests.remedies.patches 5000` asks until so many remedies were tried, in questions, jobs and boxes.
"""

from __future__ import annotations

import argparse
import copy
import random
import sys
import time
from collections import Counter
from collections.abc import Iterator, Mapping
from typing import Any

import jsonpatch

from splicewright.answering import Chooser, shipped_chooser
from splicewright.box import fill_box
from splicewright.job import plan_job
from splicewright.json_pointer import value_at
from splicewright.question.leaf import leaves_of
from splicewright.question.model import Circuit, Conductor, Joint, Place, Work
from splicewright.question.read import read_question
from splicewright.refusals import Refused
from tests.choice.likely import likely_given

Plain = dict[str, Any]
_PARTS = {"joint": Joint, "place": Place, "circuit": Circuit, "work": Work}
#: Laid over a question now and then, so that it is refused.
_BARRING: tuple[tuple[str, Plain], ...] = (
    ("place", {"enclosure": "raceway"}),
    ("place", {"enclosure": "short-radius-body", "reach": "concealed"}),
    ("place", {"reach": "concealed"}),
    ("place", {"movement": "flexing"}),
    ("place", {"exposure": "wet"}),
    ("place", {"exposure": "buried", "depth": {"value": 4, "unit": "in"}}),
    ("place", {"air_space": "plenum"}),
    ("circuit", {"overcurrent_amps": 25}),
    ("circuit", {"amps": 60, "kind": "feeder"}),
    ("circuit", {"kind": "low-voltage-landscape", "volts": 120}),
    ("circuit", {"source": "battery"}),
    ("conductor", {"condition": "burnt"}),
    ("conductor", {"end": "solder-dipped"}),
    ("conductor", {"insulation": "TW"}),
    ("conductor", {"cable": "NM"}),
    ("conductor", {"material": "aluminum"}),
    ("conductor", {"count": 9}),
)


# --- what is asked -------------------------------------------------------------------------------


def sent(rng: random.Random) -> Plain:
    """Give a question as a caller may send it: often one to be refused, some of it in words that are taken for its."""
    given = copy.deepcopy(likely_given(rng))
    for part, leaves in rng.sample(_BARRING, rng.randint(0, 2)):
        if part == "conductor":
            rng.choice(given["joint"]["conductors"]).update(leaves)
        else:
            given.setdefault(part, {}).update(leaves)
    for part in ("place", "circuit", "work"):
        if not given[part]:
            del given[part]
    if rng.random() < 0.3:
        one = copy.deepcopy(rng.choice(given["joint"]["conductors"]))
        given["joint"]["conductors"].insert(rng.randint(0, 1), one)
    for key, value in (("id", "joint ~/7"), ("limit", rng.randint(1, 9)), ("explain", rng.choice(["brief", "full"]))):
        if rng.random() < 0.4:
            given[key] = value
    return _spoken(rng, given)


def _spoken(rng: random.Random, given: Plain) -> Plain:
    """Say some of a question in words that are taken for its own."""
    for part, kind in _PARTS.items():
        for leaf, value in given.get(part, {}).items():
            if leaf != "conductors" and rng.random() < 0.3:
                given[part][leaf] = _said(rng, leaves_of(kind)[leaf].field, value)
    for conductor in given["joint"]["conductors"]:
        for leaf, value in conductor.items():
            if rng.random() < 0.2:
                conductor[leaf] = _said(rng, leaves_of(Conductor)[leaf].field, value)
    return given


def _said(rng: random.Random, field: Any, value: Any) -> Any:
    match field.kind:
        case "word":
            spoken = getattr(field.words, "said", {})
            return rng.choice([*(said for said, means in spoken.items() if means == value), value.upper()])
        case "flag":
            return "yes" if value else "no"
        case "size":
            return value.replace(" AWG", "ga").replace("kcmil", "MCM")
        case "quantity":
            return f"{value['value']} {value['unit']}"
        case "number" if field.units:
            return f"{value} {field.units[0]}"
    return value


def in_a_job(rng: random.Random, given: Plain) -> Plain:
    """Make a question a joint of a job, with some of it said for all joints."""
    joint = {key: value for key, value in given.items() if key in (*_PARTS, "id")}
    job: Plain = {"joints": [joint], "defaults": {}, **({"code": given["code"]} if "code" in given else {})}
    for part in ("place", "circuit", "work"):
        if part in joint and rng.random() < 0.5:
            job["defaults"][part] = {leaf: joint[part].pop(leaf) for leaf in list(joint[part]) if rng.random() < 0.6}
            if not joint[part]:
                del joint[part]
    if rng.random() < 0.3:
        wire = rng.choice(joint["joint"]["conductors"])
        joint["pigtails"] = [{leaf: wire[leaf] for leaf in ("size", "role", "material") if leaf in wire}]
    others = {"joint": {"conductors": [{"size": "12 AWG", "count": 2}]}, "place": {"site": "indoors"}}
    job["joints"].insert(0, others)
    return job


def in_a_box(rng: random.Random, given: Plain) -> Plain:
    """Make a question a joint of a box, with some of it said by the box."""
    joint = {key: value for key, value in given.items() if key in (*_PARTS, "id", "limit", "explain")}
    said = ("code", "place", "circuit", "work")
    box: Plain = {key: joint.pop(key, given.get(key)) for key in said if key in given and rng.random() < 0.5}
    if "code" in given:
        box["code"] = given["code"]
    box, joint = copy.deepcopy((box, joint))
    for place in (box.get("place", {}), joint.get("place", {})):
        for leaf in ("enclosure", "box_material"):
            place.pop(leaf, None)
    if rng.random() < 0.3:
        box["box"] = {"name": "4 x 1-1/2 square"}
    elif rng.random() < 0.5:
        box.setdefault("place", {})["enclosure"] = rng.choice(["box", "conduit-body"])
    plain = {"joint": {"conductors": [{"size": "12 AWG", "count": 2}]}}
    return {**box, "wires": [{"size": "12 AWG", "count": 4}], "joints": [plain, joint]}


# --- whether it holds ----------------------------------------------------------------------------


def tried(given: Plain, chooser: Chooser, counts: Counter[str]) -> Iterator[str]:
    """Try every patch of a question's remedies, count them, and tell which do not hold."""
    before = copy.deepcopy(given)
    for at, told in _patched(chooser.choose(given)["remedies"], counts):
        if told is None:
            yield f"{at} has no patch: {given}"
            continue
        counts["of questions"] += 1
        changed = jsonpatch.apply_patch(given, told["patch"])
        answer = chooser.choose({**changed, "limit": 3})
        options = [(one["connector"], one["method"]) for one in answer["options"]]
        named = [(one["connector"], one["method"]) for one in (told["best"], *told.get("then", ()))]
        told_of = None if "then" in told else 1  # options that are told
        if answer["outcome"] != "options" or options[:told_of] != named:
            yield f"{told['patch']} leads to {answer['outcome']}, {options}, not {told}: {given}"
        if any(changed.get(key) != given.get(key) for key in ("id", "limit", "explain", "code")):
            yield f"{told['patch']} changes what goes with {given}"
        if "question" in told and read_question(changed).question != read_question(told["question"]).question:
            yield f"{told['patch']} is not the question told: {given}"
        yield from (f"{told['patch']} needs no {one}: {given}" for one in _needless(given, changed, told["patch"]))
    if given != before:
        yield f"what was sent was changed: {before}"


def _patched(remedies: list[Plain], counts: Counter[str]) -> Iterator[tuple[str, Plain | None]]:
    """Give each part of remedies that has a patch, with the outcome told; None for one that should have one."""
    for remedy in remedies:
        kind = remedy["kind"]
        if kind == "connector":
            continue
        counts["remedies"] += 1
        counts[kind] += 1
        for one in remedy.get("joints", [remedy]):
            yield kind, one if "patch" in one else None


def _needless(given: Plain, changed: Plain, operations: list[Plain]) -> Iterator[Plain]:
    """Give operations without which the same would be asked."""
    wanted = read_question(changed).question
    for at, one in enumerate(operations):
        try:
            without = jsonpatch.apply_patch(given, operations[:at] + operations[at + 1 :])
            if read_question(without).question == wanted:
                yield one
        except (Refused, jsonpatch.JsonPatchException, jsonpatch.JsonPointerException):
            continue


def tried_in_a_job(job: Plain, counts: Counter[str]) -> Iterator[str]:
    """Try every patch of the problems of a job on the whole of it."""
    for problem in plan_job(job)["problems"]:
        yield from _tried_at(problem, job, _planned, counts)


def _planned(job: Plain, pointer: str) -> tuple[str, str | None]:
    joint = next(one for one in plan_job(job)["joints"] if one["pointer"] == pointer)
    return joint["outcome"], joint["connectors"][0]["connector"] if joint.get("connectors") else None


def tried_in_a_box(box: Plain, counts: Counter[str]) -> Iterator[str]:
    """Try every patch of the joints of a box on the whole of it."""
    try:
        joints = fill_box(box)["joints"]
    except Refused:  # of a code without box fill
        counts["boxes not valid"] += 1
        return
    for at, joint in enumerate(joints):
        if joint.get("remedies"):
            yield from _tried_at({**joint, "pointer": f"/joints/{at}"}, box, _filled, counts)


def _filled(box: Plain, pointer: str) -> tuple[str, str | None]:
    joint = value_at(fill_box(box), pointer)
    return joint.get("outcome", "error"), joint["options"][0]["connector"] if joint.get("options") else None


def _tried_at(found: Mapping[str, Any], whole: Plain, asked: Any, counts: Counter[str]) -> Iterator[str]:
    for _, told in _patched(found.get("remedies") or [], counts):
        if told is None:
            counts["left out"] += 1
            continue
        counts[f"of {asked.__name__.removeprefix('_')}"] += 1
        try:
            came = asked(jsonpatch.apply_patch(whole, told["patch"]), found["pointer"])
        except Refused as error:
            came = error.problems
        if came != ("options", told["best"]["connector"]):
            yield f"{told['patch']} leads to {came}, not {told['best']}: {whole}"


def main() -> int:
    """Try so many remedies."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("remedies", type=int, help="how many to try")
    parser.add_argument("--seed", type=int, default=1)
    wanted = parser.parse_args()
    wrong, counts = 0, Counter[str]()
    started = time.monotonic()
    for says in broken(wanted.seed, wanted.remedies, counts):
        wrong += 1
        print(says, flush=True)
    print(f"{wrong} wrong; {dict(counts)}; {time.monotonic() - started:.0f} s")
    return int(wrong > 0)


def broken(seed: int, remedies: int, counts: Counter[str]) -> Iterator[str]:
    """Try so many remedies, one question in ten in a job and one in a box too, and tell which do not hold."""
    rng, chooser = random.Random(seed), shipped_chooser()
    while counts["remedies"] < remedies:
        given = sent(rng)
        try:
            read_question(given)
        except Refused:
            counts["not valid"] += 1
            continue
        counts["questions"] += 1
        yield from tried(given, chooser, counts)
        if rng.random() < 0.1:
            yield from tried_in_a_job(in_a_job(rng, given), counts)
        if rng.random() < 0.1:
            yield from tried_in_a_box(in_a_box(rng, given), counts)


if __name__ == "__main__":
    sys.exit(main())
