"""Work sheets of the three answers that have joints: to one question, about a box, about a job."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from itertools import chain
from typing import Any, NamedTuple

from splicewright.answering import Chooser
from splicewright.box.joints import Decided
from splicewright.catalogue import Catalogue
from splicewright.job.model import Filled, JobEntry
from splicewright.job.read_again import ReadAgain
from splicewright.job.shelf_figures import with_shelf
from splicewright.question.model import as_plain
from splicewright.question.only import Only
from splicewright.question.read import ParsedQuestion
from splicewright.refusals import Problem
from splicewright.reports.words import departures
from splicewright.reports.work_sheet_pages import INCLUDED, Part, SheetJoint, SheetPage, answered_joint
from splicewright.rulebook import Rule

Plain = Mapping[str, Any]
_ALL_OPTIONS = 100
#: The most that one sheet holds; a job that has more is divided.
MOST_BOXES, MOST_JOINTS = 1000, 3000


class Bought(NamedTuple):
    """A line of the takeoff as an answer has it, with the part number.

    `catalogue` is the one that its connector is of, where the takeoff is from more than one.
    """

    line: Plain
    part_number: str | None
    catalogue: str | None = None


class Source(NamedTuple):
    """All that a work sheet is made of, but for its language and whether prices are told."""

    name: str
    pages: Sequence[SheetPage]
    takeoff: Sequence[Bought]
    wire: Sequence[Plain]
    answer: str | None
    code: str
    amendments: Sequence[str]
    catalogue: Plain
    rules: Callable[[], Sequence[Rule]]


def of_question(name: str, asked: ParsedQuestion, chooser: Chooser) -> Source:
    """Give the sheet of one question: its best option. Raises what answering it raises."""
    answer = chooser.answer(replace(asked, include=INCLUDED))
    question, catalogue = asked.question, chooser.catalogue(asked.question.catalogue)
    joint = answered_joint(asked.id or name, 1, _conductors(asked), answer, _listings(catalogue))
    page = SheetPage(asked.id or name, 1, [joint])
    lines = [_bought(line, catalogue) for line in _lines([joint], catalogue)]
    rules = _rules(chooser, question.code, [question.amendments])
    return Source(
        name, [page], lines, (), answer["answer"], question.code, question.amendments, catalogue.named(), rules
    )


def of_box(name: str, answer: Plain, decided: Sequence[Decided], chooser: Chooser) -> Source:
    """Give the sheet of a box by its answer, which has `INCLUDED` of its joints, and its joints as read.

    Each joint may be made from a catalogue of its own, under amendments of its own.
    """
    names = dict.fromkeys(one.catalogue for one in decided if one.asked is not None)
    catalogues = {one: chooser.catalogue(one) for one in names or [chooser.holding.unsaid.values["catalogue"]]}
    listings = {one: _listings(catalogue) for one, catalogue in catalogues.items()}
    joints = [
        _joint_in_error(_named(one.id, one.pointer), 1, one.problems)
        if one.asked is None
        else answered_joint(
            _named(one.id, one.pointer), 1, _conductors(one.asked), _within(told, one.pointer), listings[one.catalogue]
        )
        for one, told in zip(decided, answer["joints"], strict=True)
    ]
    of_each = {
        at: [joint for one, joint in zip(decided, joints, strict=True) if one.catalogue == at] for at in catalogues
    }
    lines = [
        _bought(line, catalogue, catalogue.name if len(catalogues) > 1 else None)
        for at, catalogue in catalogues.items()
        for line in _lines(of_each[at], catalogue)
    ]
    amendments = dict.fromkeys(tuple(one["rulesets"]["amendments"]) for one in answer["joints"] if "rulesets" in one)
    return Source(
        name,
        [SheetPage(answer.get("id") or name, 1, joints, answer)],
        lines,
        (),
        None,
        answer["code"],
        list(dict.fromkeys(chain.from_iterable(amendments))),
        _named_together(list(catalogues.values())),
        _rules(chooser, answer["code"], list(amendments) or [()]),
    )


def of_job(name: str, answer: Plain, read: ReadAgain, catalogue_name: str) -> Source:
    """Give the sheets of a job by its answer and the job as read."""
    catalogue = read.chooser.catalogue(catalogue_name)
    telling = _Telling(answer, read.chooser, catalogue)
    outside = [telling.joint(entry) for entry in read.joints]
    pages = [SheetPage("", 1, outside)] if outside else []
    pages += [telling.box(box) for box in read.boxes]
    pages = [replace(page, sent_as=[*answer.get("read_as", ()), *page.sent_as]) for page in pages]
    lines = [_bought(line, catalogue) for line in answer["takeoff"]]
    rulesets = answer["rulesets"]
    return Source(
        answer.get("id") or name,
        pages,
        lines,
        answer["pigtails_and_jumpers"],
        answer["answer"],
        rulesets["code"],
        rulesets["amendments"],
        answer["catalogue"],
        _rules(read.chooser, rulesets["code"], [rulesets["amendments"]]),
    )


class _Telling:
    """Tells each joint of a job whole, with the connectors that the job's plan gives it; what asks the same once."""

    def __init__(self, answer: Plain, chooser: Chooser, catalogue: Catalogue) -> None:
        self._answered = {one["pointer"]: one for one in answer["joints"]}
        self._problems = {one["pointer"]: one for one in answer["problems"]}
        self._chooser, self._listings = chooser, _listings(catalogue)
        self._known: dict[tuple[bytes, tuple[str, ...]], Plain] = {}

    def box(self, box: Filled) -> SheetPage:
        """Give the page of a box."""
        if box.errors:
            return SheetPage(box.name, box.quantity or 1, [], errors=[one.says for one in box.errors])
        joints = [self.joint(entry) for entry in box.entries]
        sent_as = [one.to_dict() for one in box.read_as]
        return SheetPage(box.name, box.quantity or 1, joints, box.answer, sent_as=sent_as)

    def joint(self, entry: JobEntry) -> SheetJoint:
        """Give a joint."""
        asked, quantity = entry.reading.asked, entry.quantity or 1
        name = _named(entry.id, entry.name)
        if entry.errors or asked is None:
            return _joint_in_error(name, quantity, entry.errors)
        told, conductors = self._answered[entry.pointer], _conductors(asked)
        problem = self._problems.get(entry.pointer, {})
        because = [
            (one.get("rule", ""), one["says"]) for one in problem.get("because") or problem.get("violations", ())
        ]
        if told["outcome"] == "options":
            uses = [(one["connector"], one["count"]) for one in told["connectors"]]
            whole = self._whole(asked, entry.reading.canonical, tuple(connector for connector, _ in uses))
            joint = answered_joint(name, quantity, conductors, whole, self._listings, uses, entry.room)
            departs_from = next((proposed for _, proposed, _ in departures([told])), "")
            return replace(joint, because=because, read_as=told.get("read_as", ()), departs_from=departs_from)
        parts = [Part(one["takes"], tuple(use["name"] for use in one["connectors"])) for one in told.get("joints", ())]
        read_as = told.get("read_as", ())
        return SheetJoint(name, quantity, told["outcome"], conductors, parts=parts, because=because, read_as=read_as)

    def _whole(self, asked: ParsedQuestion, canonical: bytes, connectors: tuple[str, ...]) -> Plain:
        key = (canonical, connectors)
        if key not in self._known:
            question = replace(asked.question, only=Only(connectors=connectors))
            whole = replace(asked, question=question, include=INCLUDED, limit=_ALL_OPTIONS)
            self._known[key] = self._chooser.answer(whole)
        return self._known[key]


def _within(told: Plain, pointer: str) -> Plain:
    """Let what would settle a concern lead into the joint itself where it leads into it."""
    judged = [{**one, "asks": one["asks"].removeprefix(pointer)} if "asks" in one else one for one in told["judged"]]
    return {**told, "judged": judged}


def _named_together(catalogues: Sequence[Catalogue]) -> Plain:
    named = {"name": ", ".join(dict.fromkeys(one.name for one in catalogues))}
    return {**named, "demo": True} if any(one.demo for one in catalogues) else named


def _rules(chooser: Chooser, code: str, amendments: Sequence[Sequence[str]]) -> Callable[[], Sequence[Rule]]:
    """Give how to get the rules that answers are from, each under its amendments, those of the first answer last.

    A sheet in English has no need of them.
    """
    return lambda: [
        rule for each in reversed(amendments) for rule in chooser.holding.rules(code, tuple(each)).rulebook.rules
    ]


def _lines(joints: Iterable[SheetJoint], catalogue: Catalogue) -> Iterator[Plain]:
    """Count the connectors of joints that no job counts."""
    counts: dict[str, int] = {}
    options: dict[str, Plain] = {}
    for one in (made for joint in joints for made in joint.made):
        options[one.option["connector"]] = one.option
        counts[one.option["connector"]] = counts.get(one.option["connector"], 0) + one.count
    for connector, option in sorted(options.items()):
        named = {key: option[key] for key in ("connector", "name", "method")}
        yield with_shelf({**named, "count": counts[connector], "spare_count": 0}, catalogue.connector(connector).facts)


def _bought(line: Plain, catalogue: Catalogue, said: str | None = None) -> Bought:
    facts = catalogue.connector(line["connector"]).facts
    return Bought(line, facts.get("part_number"), said)


def _listings(catalogue: Catalogue) -> dict[str, Plain]:
    return {connector.id: connector.printed for connector in catalogue.connectors}


def _conductors(asked: ParsedQuestion) -> list[Plain]:
    return list(as_plain(asked.question.joint)["conductors"])


def _joint_in_error(name: str, quantity: int, problems: Iterable[Problem]) -> SheetJoint:
    return SheetJoint(name, quantity, "error", because=[("", f"{one.pointer}: {one.says}") for one in problems])


def _named(identity: str | None, pointer: str) -> str:
    return pointer if identity is None else identity
