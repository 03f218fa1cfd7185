"""The boxes of a job: their fill, their joints, and the short conductors that stay in them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from functools import partial
from typing import Any

from splicewright.box.answer import filled
from splicewright.box.joints import Decided, decide
from splicewright.box.model import BoxRequest
from splicewright.box.read import read_box
from splicewright.job.entries import HEAD, Names, box_defaults, read_head, said
from splicewright.job.errors import JobErrors
from splicewright.job.evaluation import Decider
from splicewright.job.model import Filled, Job, JobEntry, Plain, Reading, Tail
from splicewright.job.schema import JobBoxSchema
from splicewright.json_pointer import join
from splicewright.memo import Memo
from splicewright.question.given import laid_under
from splicewright.question.model import Conductor
from splicewright.question.read import DEFAULTS, ParsedQuestion, load_taking
from splicewright.question.read_as import ReadAs
from splicewright.refusals import Problem, Refused, Says
from splicewright.strict_schema import made_once, stated
from splicewright.work import BYTES_OF_A_BOX, ENTRY

_MOST_KNOWN = 1000
_OF_THE_JOB = ("code", "amendments", "catalogue")


_NO_OBJECT = (Problem("", Says("a box is an object with its wires", "wrong-type")),)


@dataclass(frozen=True, slots=True)
class _Made:
    """What a box says, but for its id and quantity. Pointers are its own, but where they lead to the job's words."""

    answer: Plain
    decided: tuple[Decided, ...] = ()
    tails: tuple[Tail, ...] = ()
    assumed: Mapping[str, Any] | None = None
    problems: tuple[Problem, ...] = ()
    read_as: tuple[ReadAs, ...] = ()


def fill_boxes(job: Job, names: Names, decider: Decider, wrong: JobErrors) -> Iterator[Filled]:
    """Reckon each box and read its joints. A box or joint that is not valid has errors, and spoils no other.

    Raises `Refused` where too many are not, and where it is more than the call may take.
    """
    known: Memo[bytes, _Made] = Memo(_MOST_KNOWN)
    for at, given in enumerate(job.boxes):
        pointer = join("/boxes", at)
        if not isinstance(given, Mapping):
            yield Filled(pointer, pointer, None, None, {}, errors=wrong.told(pointer, _NO_OBJECT))
            continue
        head, problems = read_head(made_once(JobBoxSchema, only=HEAD), given)
        rest = {key: value for key, value in given.items() if key not in HEAD}
        made, fresh = _make_once(rest, job, decider, known)
        decider.budget.count(ENTRY, pointer)
        if problems or (fresh and (made.problems or any(one.problems for one in made.decided))):
            wrong.another(pointer)
        name = pointer if head.get("id") is None else head["id"]
        place = partial(_moved, box=pointer, given=given)
        errors = wrong.told(pointer, (*problems, *made.problems), names.take(name, pointer), place)
        quantity = head.get("quantity")
        entries = () if errors else tuple(_entries(made, pointer, name, quantity, names, wrong))
        assumed = made.assumed or {}
        yield Filled(
            pointer, name, head.get("id"), quantity, made.answer, made.tails, assumed, entries, errors, made.read_as
        )


def _moved(problem: Problem, box: str, given: Mapping[str, Any]) -> Problem:
    """Point into the job: at the box, or at the job's word where the box has none of its own."""
    head = problem.pointer[1:].partition("/")[0]
    of_the_job = head in _OF_THE_JOB and head not in given
    return problem if of_the_job else Problem(box + problem.pointer, problem.says)


def _make_once(rest: dict[str, Any], job: Job, decider: Decider, known: Memo[bytes, _Made]) -> tuple[_Made, bool]:
    """Reckon what a box says; tell whether it was not known from one before."""
    text = said(rest)
    if text is None:
        return _make(rest, job, decider), True
    found = known.get(text)
    if found:
        return found, False
    decider.budget.lasts(len(text) / BYTES_OF_A_BOX)
    return known.keep(text, _make(stated(rest), job, decider)), True


def _make(rest: Mapping[str, Any], job: Job, decider: Decider) -> _Made:
    try:
        request, read_as = _read(rest, job)
        found = decide(request, partial(_answered, decider), rest, lambda changed: _read(changed, job)[0])
    except Refused as error:
        return _Made({}, problems=error.problems)
    answer = filled(request, found, decider.chooser)
    decided = tuple(_of_this_job(one, job) for one in found)
    tails, assumed = _tails(request, decided)
    return _Made(answer, decided, tails, {**request.assumed, **assumed}, read_as=read_as)


def _read(rest: Mapping[str, Any], job: Job) -> tuple[BoxRequest, tuple[ReadAs, ...]]:
    """Read a box with the job's words laid under it, and what was taken in it for what is meant."""
    _, rest, read_as = load_taking(made_once(JobBoxSchema), rest, job.code)
    laid = laid_under(rest, box_defaults(job.defaults, rest))[0]
    tags = {"tags": sorted({*job.tags, *rest.get("tags", ())})} if job.tags or "tags" in rest else {}
    return read_box({**job.laid, "explain": "brief", **laid, **tags}), read_as


def _answered(decider: Decider, asked: ParsedQuestion) -> Plain:
    """Give as much of an answer as a box is to know: the best option. Raises `Refused`."""
    decision = decider.decide(asked, asked.question.canonical())
    return {"options": [{"connector": one} for one in decision.ranked[:1]]}


def _of_this_job(decided: Decided, job: Job) -> Decided:
    """Refuse a joint that names a catalogue or amendments of its own: they are one for the whole job."""
    if decided.asked is None:
        return decided
    question = decided.asked.question
    wrong = tuple(
        Problem(join(decided.pointer, key), f"is one for the whole job; give it at /{key}")
        for key, own, jobs in (
            ("catalogue", question.catalogue, job.catalogue),
            ("amendments", question.amendments, job.amendments),
        )
        if own != jobs
    )
    return Decided(decided.pointer, decided.id, {}, problems=wrong) if wrong else decided


def _entries(
    made: _Made, pointer: str, box: str, quantity: int | None, names: Names, wrong: JobErrors
) -> Iterator[JobEntry]:
    (judged,) = made.answer["judged"]
    room = {**judged, "asks": pointer + judged["asks"]} if "asks" in judged else judged
    for at, one in enumerate(made.decided):
        at_joint = pointer + one.pointer
        name = f"{box}/{at if one.id is None else one.id}"
        place = partial(_in_box, pointer)
        errors = wrong.told(at_joint, one.problems, names.take(name, at_joint), place)
        reading = Reading()
        if (asked := one.asked) is not None:
            reading = Reading(asked, asked.question.canonical(), assumed=_own(one), read_as=asked.read_as)
        yield JobEntry(at_joint, name, one.id, quantity, reading, errors, room)


def _in_box(pointer: str, problem: Problem) -> Problem:
    return replace(problem, pointer=pointer + problem.pointer)


def _own(decided: Decided) -> dict[str, Any]:
    assumed = {} if decided.asked is None else decided.asked.assumed
    return {pointer: value for pointer, value in assumed.items() if pointer not in ("/explain", "/limit")}


def _tails(request: BoxRequest, decided: tuple[Decided, ...]) -> tuple[tuple[Tail, ...], Plain]:
    """Give what stays in the box, in the metal of like conductors in its joints; else copper, which is assumed."""
    joined = [conductor for one in decided if one.joint for conductor in one.joint.conductors]
    tails, assumed = [], {}
    for at, wire in enumerate(request.contents.wires):
        if wire.path == "stays":
            material = _material(joined, str(wire.size), wire.role)
            if material is None:
                material = assumed[join("/wires", at, "material")] = DEFAULTS["conductor"]["material"]
            tails.append(Tail("pigtail", str(wire.size), material, wire.role, wire.count))
    return tuple(tails), assumed


def _material(joined: list[Conductor], size: str, role: str) -> str | None:
    for alike in (
        {conductor.material for conductor in joined if str(conductor.size) == size and conductor.role == role},
        {conductor.material for conductor in joined if str(conductor.size) == size},
    ):
        if len(alike) == 1:
            return alike.pop()
    return None
