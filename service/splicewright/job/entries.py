"""The joints of a job, each read on its own with the job's words laid under it; what says the same is read once."""

from __future__ import annotations

import marshal
from collections.abc import Iterator, Mapping
from dataclasses import replace
from functools import partial
from typing import Any

from splicewright.job.errors import JobErrors
from splicewright.job.model import Job, JobEntry, Plain, Reading, Tail
from splicewright.job.schema import PIGTAIL_DEFAULTS, JobJointSchema
from splicewright.json_pointer import join
from splicewright.memo import Memo
from splicewright.question.given import laid_under, tagged
from splicewright.question.model import Question
from splicewright.question.read import DEFAULTS, Named, ParsedQuestion, Sent, load_taking, read_question
from splicewright.question.read_as import ReadAs
from splicewright.refusals import Problem, Refused, Says, shown
from splicewright.strict_schema import Strict, load, made_once, stated
from splicewright.units import Size
from splicewright.work import BYTES_OF_A_JOINT, ENTRY, Budget

HEAD = ("id", "quantity")
_PARTS = ("joint", "place", "circuit", "work")
#: Of a place a box says these itself; a default meant for joints without a box would contradict it.
_OF_THE_BOX = ("enclosure", "box_material")
_MOST_KNOWN = 5000
_WITHOUT_REFERENCES = 2  # the version of the format
_NO_OBJECT = Reading(problems=(Problem("", Says("a joint is an object with its conductors", "wrong-type")),))


class Names:
    """What joints and boxes are called: by their ids, or by where they stand. Each name stands for one of them."""

    def __init__(self) -> None:
        self._pointers: dict[str, str] = {}

    def take(self, name: str, pointer: str) -> tuple[Problem, ...]:
        """Take a name for what stands at `pointer`; gives a problem where it is taken already."""
        first = self._pointers.setdefault(name, pointer)
        if first == pointer:
            return ()
        says = f"{shown(name)} stands already at {first}; give each joint and box a name of its own"
        return (Problem(join(pointer, "id"), Says(says, "twice")),)


def read_joints(job: Job, names: Names, wrong: JobErrors, budget: Budget) -> Iterator[JobEntry]:
    """Read each joint. One that is not valid has errors, and spoils no other.

    Raises `Refused` where too many are, and where it is more than the call may take.
    """
    known: Memo[bytes, Reading] = Memo(_MOST_KNOWN)
    for at, given in enumerate(job.joints):
        pointer = join("/joints", at)
        if not isinstance(given, Mapping):
            yield JobEntry(pointer, pointer, None, None, _NO_OBJECT, wrong.told(pointer, _NO_OBJECT.problems))
            continue
        head, problems = read_head(made_once(JobJointSchema, only=HEAD), given)
        rest = {key: value for key, value in given.items() if key not in HEAD}
        reading, fresh = _read_once(rest, job, known, budget)
        budget.count(ENTRY, pointer)
        if problems or (fresh and reading.problems):
            wrong.another(pointer)
        name = pointer if head.get("id") is None else head["id"]
        errors = wrong.told(pointer, (*problems, *reading.problems), names.take(name, pointer))
        yield JobEntry(pointer, name, head.get("id"), head.get("quantity"), reading, errors)


def read_head(schema: Strict, given: Mapping[str, Any]) -> tuple[Plain, tuple[Problem, ...]]:
    """Read id and quantity (1 where not given): what is valid of them, and the problems of what is not."""
    head = {key: given[key] for key in HEAD if given.get(key) is not None}
    try:
        return {"quantity": 1, **load(schema, head)}, ()
    except Refused as error:
        wrong = {problem.pointer.split("/")[1] for problem in error.problems}
        good = load(schema, {key: value for key, value in head.items() if key not in wrong})
        return ({} if "quantity" in wrong else {"quantity": 1}) | good, error.problems


def _read_once(rest: dict[str, Any], job: Job, known: Memo[bytes, Reading], budget: Budget) -> tuple[Reading, bool]:
    """Read what a joint says; tell whether it was not known from one before."""
    text = said(rest)
    if text is None:
        return _read(rest, job), True
    found = known.get(text)
    if found:
        return found, False
    budget.lasts(len(text) / BYTES_OF_A_JOINT)
    return known.keep(text, _read(stated(rest), job)), True


def said(rest: dict[str, Any]) -> bytes | None:
    """Give bytes that are the same only for what says the same; None where what is held is no plain value."""
    try:
        # Without references, which would tell apart what is alike. JSON text would take twice as long, and orjson
        # writes days, identifiers and the like as text, for which they would then be taken.
        return marshal.dumps(rest, _WITHOUT_REFERENCES)
    except ValueError:
        return None


def _read(rest: Mapping[str, Any], job: Job) -> Reading:
    problems: list[Problem] = []
    pigtails: list[Plain] = []
    read_as: tuple[ReadAs, ...] = ()
    as_sent = rest
    try:
        found, rest, read_as = load_taking(made_once(JobJointSchema), rest, job.code)
        pigtails = found.get("pigtails", [])
    except Refused as error:
        problems += error.problems
    asked = None
    given = tagged(laid_under({key: rest[key] for key in _PARTS if key in rest}, job.defaults)[0], job.tags)
    try:
        asked = read_question({**job.laid, "limit": DEFAULTS[""]["limit"], **given}, explain="brief")
    except Refused as error:
        problems += [problem for problem in error.problems if problem not in problems]
    assumed = dict(asked.assumed) if asked else {}
    assumed.pop("/explain", None)
    if asked and pigtails and not problems:
        problems += _not_in_joint(pigtails, asked.question)
    for at, pigtail in enumerate(pigtails):
        assumed |= {join("/pigtails", at, key): value for key, value in PIGTAIL_DEFAULTS.items() if key not in pigtail}
    tails = tuple(_tail({**PIGTAIL_DEFAULTS, **pigtail}) for pigtail in pigtails)
    if problems or asked is None:
        return Reading(problems=tuple(problems))
    asked = replace(asked, sent=Sent(as_sent, partial(_again, job), named=tuple(_named(pigtails))))
    canonical, proposed = asked.question.canonical(), None
    if "proposal" in rest:
        proposed = {**job.laid, **given, "proposal": rest["proposal"]}
    return Reading(asked, canonical, tails, (), assumed, (*read_as, *asked.read_as), proposed)


def _again(job: Job, changed: Mapping[str, Any]) -> ParsedQuestion:
    """Read a joint that was changed. Raises `Refused`."""
    reading = _read(changed, job)
    if reading.asked is None:
        raise Refused(reading.problems)
    return reading.asked


def _named(pigtails: list[Plain]) -> Iterator[Named]:
    for at, given in enumerate(pigtails):
        pigtail = {**PIGTAIL_DEFAULTS, **given}
        yield Named(join("/pigtails", at), pigtail["size"], pigtail["role"], pigtail["material"])


def box_defaults(defaults: Mapping[str, Any], box: Mapping[str, Any]) -> dict[str, Any]:
    """Give what of a job's defaults is laid under a box."""
    named = isinstance(which := box.get("box"), Mapping) and "name" in which
    out = _OF_THE_BOX if named else _OF_THE_BOX[:1]
    return {
        part: {leaf: value for leaf, value in leaves.items() if part != "place" or leaf not in out}
        for part, leaves in defaults.items()
    }


def _tail(one: Mapping[str, Any]) -> Tail:
    return Tail("pigtail", str(one["size"]), one["material"], one["role"], one["count"])


def _not_in_joint(pigtails: list[Plain], question: Question) -> Iterator[Problem]:
    """Tell pigtails of which the joint has no conductor left that is like them."""
    left: dict[tuple[Size, str, str], int] = {}
    for conductor in question.joint.conductors:
        if conductor.path == "ends":
            key = (conductor.size, conductor.role, conductor.material)
            left[key] = left.get(key, 0) + conductor.count
    for at, given in enumerate(pigtails):
        pigtail = {**PIGTAIL_DEFAULTS, **given}
        key = (pigtail["size"], pigtail["role"], pigtail["material"])
        if left.get(key, 0) < pigtail["count"]:
            what = f"{pigtail['count']} x {pigtail['size']} {pigtail['role']} {pigtail['material']}"
            says = f"{what}: the joint has {left.get(key, 0)} such conductors left; a pigtail is one of its conductors"
            yield Problem(join("/pigtails", at), says)
        else:
            left[key] -= pigtail["count"]
