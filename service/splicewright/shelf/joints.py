"""The joints of work to be done: each of the questions, checks, boxes, jobs and tables in files; like ones together."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from functools import partial
from typing import Any

from splicewright.audit.entries import AuditEntry, NotOurs, read_entries
from splicewright.audit.files import CheckedFile, find_files
from splicewright.audit.kinds import kind_of, unrecognized
from splicewright.box.joints import decide
from splicewright.box.read import read_box
from splicewright.faults import Fault, Faults
from splicewright.inspection.read import take_proposal
from splicewright.job.entries import HEAD, Names, box_defaults, read_head, read_joints
from splicewright.job.errors import JobErrors
from splicewright.job.model import Job
from splicewright.job.read import read_job
from splicewright.job.schema import JobBoxSchema
from splicewright.json_pointer import join
from splicewright.question.given import laid_under
from splicewright.question.model import Question
from splicewright.question.proposal import Proposal, read_proposal
from splicewright.question.read import UNSAID, ParsedQuestion, Unsaid, read_question
from splicewright.refusals import Problem, Refused
from splicewright.sheets.columns import OF_THE_JOB
from splicewright.sheets.table import Spot
from splicewright.shelf.recognizing import catalogue_tables
from splicewright.strict_schema import made_once
from splicewright.work import Budget

MOST_KINDS = 30_000
NO_JOINT = Fault("", 0, "", "no joint in these files; name questions, checks, boxes, jobs or tables")
_NOTES = ("waive", "proposal")


@dataclass(slots=True)
class ShelfJoint:
    """Joints that ask the same: the question, how many there are, in how many places, and where the first stands."""

    question: Question
    count: int
    places: int
    at: str  # file:line
    name: str
    proposal: Proposal | None = None  # the splice that is proposed for it, where that is asked for


@dataclass(frozen=True, slots=True)
class _Read:
    """A joint of an entry, or what is wrong with a part of it. Pointers are into the entry."""

    pointer: str
    name: str
    count: int = 1
    asked: ParsedQuestion | None = None
    proposal: Proposal | None = None
    problems: tuple[Problem, ...] = ()


def joints_in(
    paths: Iterable[str], unsaid: Unsaid = UNSAID, columns: Mapping[str, str] | None = None
) -> list[ShelfJoint]:
    """Read every joint of these files and folders. Raises `Faults` with all that is wrong, each with file and line.

    `unsaid` is what stands for a question that does not say it; `columns` what headings of the user's own mean.
    """
    found = _read_files(paths, unsaid, columns, proposals=False)
    if not found:
        raise Faults([NO_JOINT])
    return found


def work_in(
    paths: Iterable[str], unsaid: Unsaid = UNSAID, columns: Mapping[str, str] | None = None
) -> list[ShelfJoint]:
    """Read every joint like `joints_in`, with the splices that are proposed; none where boxes hold no joints."""
    return _read_files(paths, unsaid, columns, proposals=True)


def _read_files(
    paths: Iterable[str], unsaid: Unsaid, columns: Mapping[str, str] | None, *, proposals: bool
) -> list[ShelfJoint]:
    try:
        files = find_files(paths)
    except FileNotFoundError as error:
        raise Faults([Fault(str(error.args[0]), 0, "", "no such file or folder")]) from None
    faults: list[Fault] = []
    found: dict[bytes, ShelfJoint] = {}
    ours = False
    for source in files:
        for entry in _entries(source, columns):
            for judged, spot in entry.faults:
                faults.append(Fault(source.name, spot.line, spot.cell or spot.heading or "", judged.says))
            if entry.kind is None or entry.only_read:
                continue
            ours = True
            for one in _joints(entry, unsaid, proposals=proposals):
                line = entry.spot(one.pointer).line
                faults += [
                    Fault(source.name, entry.spot(each.pointer).line, each.pointer, each.says) for each in one.problems
                ]
                if one.asked is not None:
                    _add(found, one, f"{source.name}:{line}")
    if faults:
        raise Faults(faults)
    if not ours:
        raise Faults([NO_JOINT])
    return list(found.values())


def work_sent(sent: Iterable[tuple[str, Any]], unsaid: Unsaid = UNSAID) -> list[ShelfJoint]:
    """Read every joint of questions, checks, boxes and jobs that stand at pointers of what was sent, with proposals.

    Raises `Refused` with all that is wrong.
    """
    problems: list[Problem] = []
    found: dict[bytes, ShelfJoint] = {}
    for pointer, value in sent:
        kind = kind_of(value)
        if kind is None:
            problems.append(Problem(pointer, unrecognized(value)))
            continue
        for one in _joints(AuditEntry(kind, value, 1, lambda _: Spot(1)), unsaid, proposals=True):
            problems += _within(pointer, one.problems)
            if one.asked is not None:
                _add(found, one, pointer + one.pointer)
    if problems:
        raise Refused(problems)
    return list(found.values())


def _add(found: dict[bytes, ShelfJoint], one: _Read, at: str) -> None:
    assert one.asked is not None
    key = one.asked.question.canonical()
    if one.proposal is not None:
        key += b" proposal " + one.proposal.canonical()
    known = found.get(key)
    if known is not None:
        known.count += one.count
        known.places += 1
    elif len(found) < MOST_KINDS:
        found[key] = ShelfJoint(one.asked.question, one.count, 1, at, one.name, one.proposal)
    else:
        raise Faults([Fault("", 0, "", f"more than {MOST_KINDS:,} different joints; name fewer files")])


def _entries(source: CheckedFile, columns: Mapping[str, str] | None) -> Iterator[AuditEntry]:
    try:
        yield from read_entries(source, columns, catalogue_tables)
    except NotOurs:
        return


def _joints(entry: AuditEntry, unsaid: Unsaid, *, proposals: bool) -> Iterator[_Read]:
    value = _without_notes(entry.value)
    if isinstance(value, Mapping):
        value = {key: one for key, one in value.items() if key != "catalogue"}  # it is held against another
    try:
        if entry.kind == "job":
            yield from _of_job(read_job(value, unsaid), unsaid, proposals=proposals)
        elif entry.kind == "box":
            yield from _of_box(value, "", 1, unsaid)
        else:
            count = entry.value.get("quantity", 1)
            beside = OF_THE_JOB if entry.sheet_joint else ()
            asking: Mapping[str, Any] = {key: one for key, one in value.items() if key not in beside}
            proposal = None
            if proposals and asking.get("proposal") is not None:
                proposal, asking, _ = take_proposal(asking, unsaid.values["code"])
            question = {key: one for key, one in asking.items() if key not in _NOTES}
            asked = read_question(question, explain="brief", unsaid=unsaid)
            yield _Read("", asked.id or f"entry {entry.number}", count, asked, proposal)
    except Refused as error:
        yield _Read("", "", problems=error.problems)


def _without_notes(value: Any) -> Any:
    """Leave out the waivers of an entry and of the joints and boxes in it."""
    if not isinstance(value, Mapping):
        return value
    found = {key: one for key, one in value.items() if key != "waive"}
    for part in ("joints", "boxes"):
        if isinstance(found.get(part), list):
            found[part] = [_without_notes(one) for one in found[part]]
    return found


def _of_job(job: Job, unsaid: Unsaid, *, proposals: bool) -> Iterator[_Read]:
    for one in read_joints(job, Names(), JobErrors(), Budget()):
        asked, problems, proposal = None if one.errors else one.reading.asked, one.errors, None
        if proposals and asked is not None and one.reading.proposed is not None:
            try:
                proposal = read_proposal(one.reading.proposed["proposal"])
            except Refused as error:
                asked, problems = None, _within(join(one.pointer, "proposal"), error.problems)
        yield _Read(one.pointer, one.name, one.quantity or 1, asked, proposal, problems)
    for at, given in enumerate(job.boxes):
        pointer = join("/boxes", at)
        if not isinstance(given, Mapping):
            yield _Read(pointer, "", problems=(Problem(pointer, "a box is an object with its wires"),))
            continue
        head, problems = read_head(made_once(JobBoxSchema, only=HEAD), given)
        if problems:
            yield _Read(pointer, "", problems=_within(pointer, problems))
            continue
        box = {key: one for key, one in given.items() if key not in HEAD}
        laid = {**job.laid, "explain": "brief", **laid_under(box, box_defaults(job.defaults, box))[0]}
        yield from _of_box(laid, pointer, head["quantity"], unsaid)


def _of_box(given: Any, pointer: str, count: int, unsaid: Unsaid) -> Iterator[_Read]:
    try:
        again = partial(read_box, unsaid=unsaid)
        decided = decide(again(given), lambda _: {}, given, again)
    except Refused as error:
        yield _Read(pointer, "", problems=_within(pointer, error.problems))
        return
    for one in decided:
        at = pointer + one.pointer
        yield _Read(at, one.id or at, count, one.asked, problems=_within(pointer, one.problems))


def _within(pointer: str, problems: Iterable[Problem]) -> tuple[Problem, ...]:
    return tuple(replace(one, pointer=pointer + one.pointer) for one in problems)
