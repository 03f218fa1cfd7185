"""A job to its parts: each joint and box with the job's words laid under it. A bad one spoils no other.

A joint of a job may have a `proposal`: then that is checked.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from splicewright.answering import Chooser
from splicewright.audit.boxes import box_parts
from splicewright.audit.finding import Judgement, digest
from splicewright.audit.verdicts import JudgedPart, Verdicts, id_of, invalid, moved
from splicewright.audit.waivers import take_waivers
from splicewright.job import plan_job
from splicewright.job.entries import Names, box_defaults
from splicewright.job.read import read_job, with_stock_of
from splicewright.job.schema import JobBoxSchema, JobJointSchema
from splicewright.json_pointer import join
from splicewright.question.given import laid_under
from splicewright.refusals import Problem, Refused, Says
from splicewright.strict_schema import load, made_once, stated

_ASKED = ("id", "joint", "place", "circuit", "work")
_LAID = ("code", "amendments", "catalogue")


def job_parts(given: Mapping[str, Any], verdicts: Verdicts) -> Iterator[JudgedPart]:
    """Judge a job as a whole, then its joints and boxes; where the whole is not valid, they are read, not decided."""
    value, waive = take_waivers(stated(given))
    whole: tuple[Judgement, ...] = ()
    defaults: Mapping[str, Any] = {}
    try:
        asking, named = verdicts.chooser.with_own_catalogue(value)
        job = read_job(named, asking.holding.unsaid)
        defaults = with_stock_of(job, asking.catalogue(job.catalogue).connectors).defaults
    except Refused as error:
        whole = invalid(error)
    if whole or waive is not None:
        yield JudgedPart("", id_of(value), id_of(value) or digest(value), whole, waive, value.get("code"))
    laid = {} if whole else {key: value[key] for key in _LAID if key in value}
    names = Names()
    for number, one in enumerate(_list(value, "joints")):
        pointer = join("/joints", number)
        yield from _twice(one, pointer, names, laid)
        yield _joint(one, pointer, defaults, laid, verdicts, decide=not whole)
    for number, one in enumerate(_list(value, "boxes")):
        pointer = join("/boxes", number)
        yield from _twice(one, pointer, names, laid)
        yield from _box(one, pointer, defaults, laid, verdicts, decide=not whole)


def planned_options(given: Mapping[str, Any], chooser: Chooser) -> dict[str, tuple[tuple[str, str, str], ...]]:
    """Give what the stock plan of a job makes each joint with, by its pointer: connector, method and basis of fill.

    Nothing where the job has no stock or is not valid as a whole.
    """
    value, _ = take_waivers(stated(given))
    if not isinstance(value.get("stock"), Mapping):
        return {}
    for part in ("joints", "boxes"):
        if part in value:
            value[part] = [take_waivers(one)[0] if isinstance(one, Mapping) else one for one in _list(value, part)]
    try:
        answer = plan_job(value, chooser)
    except Refused:
        return {}
    return {
        one["pointer"]: tuple((use["connector"], use["method"], use["fill"]["basis"]) for use in one["connectors"])
        for one in answer["joints"]
        if "connectors" in one
    }


def _twice(given: Any, pointer: str, names: Names, laid: Mapping[str, Any]) -> Iterator[JudgedPart]:
    """Tell a name that stands already for another joint or box."""
    name = id_of(given) if isinstance(given, Mapping) else None
    if name is not None and (problems := tuple(names.take(name, pointer))):
        yield JudgedPart(pointer, name, f"{name} again", invalid(Refused(problems)), code=laid.get("code"))


def _list(value: Mapping[str, Any], key: str) -> list[Any]:
    found = value.get(key)
    return found if isinstance(found, list) else []


def _joint(
    given: Any, pointer: str, defaults: Mapping[str, Any], laid: Mapping[str, Any], verdicts: Verdicts, *, decide: bool
) -> JudgedPart:
    if not isinstance(given, Mapping):
        problems = Refused([Problem("", Says("a joint is an object with its conductors", "wrong-type"))])
        return JudgedPart(pointer, None, digest(given), moved(pointer, invalid(problems)), code=laid.get("code"))
    value, waive = take_waivers(given)
    proposed = {"proposal": value.pop("proposal")} if "proposal" in value else {}
    about = (pointer, id_of(value), id_of(value) or digest({**value, **proposed}))
    asked = {**laid, **laid_under({key: value[key] for key in _ASKED if key in value}, defaults)[0], **proposed}
    found: dict[Judgement, None] = dict.fromkeys(_refused(made_once(JobJointSchema), value))
    verdict = None
    try:
        verdict = verdicts.proposal(asked) if proposed else verdicts.question(asked)
    except Refused as error:
        found |= dict.fromkeys(invalid(error))
    if found or verdict is None or not decide:
        return JudgedPart(*about, moved(pointer, found), waive, laid.get("code"), asked)
    return JudgedPart(*about, moved(pointer, verdict.judged), waive, laid.get("code"), asked, verdict)


def _box(
    given: Any, pointer: str, defaults: Mapping[str, Any], laid: Mapping[str, Any], verdicts: Verdicts, *, decide: bool
) -> Iterator[JudgedPart]:
    if not isinstance(given, Mapping):
        problems = Refused([Problem("", Says("a box is an object with its wires", "wrong-type"))])
        yield JudgedPart(pointer, None, digest(given), moved(pointer, invalid(problems)), code=laid.get("code"))
        return
    value, waive = take_waivers(given)
    wrong = _refused(made_once(JobBoxSchema), value)
    if wrong or not decide:
        yield JudgedPart(
            pointer, id_of(value), id_of(value) or digest(value), moved(pointer, wrong), waive, laid.get("code")
        )
        return
    laid_out, _ = laid_under(given, box_defaults(defaults, given))
    box = {key: one for key, one in laid_out.items() if key != "quantity"}
    yield from box_parts({**laid, **box}, verdicts, pointer)


def _refused(schema: JobJointSchema | JobBoxSchema, value: Mapping[str, Any]) -> tuple[Judgement, ...]:
    try:
        load(schema, value)
    except Refused as error:
        return invalid(error)
    return ()
