"""The parts of a job's answer in their JSON form."""

from __future__ import annotations

import itertools
import json
import re
from collections import Counter
from collections.abc import Collection, Iterable, Iterator, Mapping
from typing import Any

import orjson

from splicewright.answer_forms import amended_in_all, error_item
from splicewright.answering.answer_json import judged_plain
from splicewright.answering.finding_json import order_of, placed_pointers
from splicewright.job.model import Decision, Filled, JobEntry, Plain, Use
from splicewright.job.planning import Planned
from splicewright.job.stock import Wanted
from splicewright.job.takeoff import is_proposed, made_of
from splicewright.question.read import ParsedQuestion, Sent, assumed_plain
from splicewright.question.read_as import read_as_plain
from splicewright.refusals import USE_ONE_OF, Problem
from splicewright.rulebook.concerns import concern_words

_BOXES_TOLD = 3
_LONG = 60  # characters of a list of words that is not told twice
_MOST_ALIKE = 10  # joints that ask the same, and are told in full why they can't be made
_NUMBERED = re.compile(r"/[0-9]+(?=/|\Z)")


def identified(one: JobEntry | Filled) -> Plain:
    """Write which joint or box it is."""
    found: Plain = {"pointer": one.pointer}
    if one.id is not None:
        found["id"] = one.id
    return found if one.quantity is None else {**found, "quantity": one.quantity}


# --- problems ------------------------------------------------------------------------------


def problems_plain(
    entries: Iterable[tuple[JobEntry, Decision | None]], boxes: Iterable[Filled], planned: Planned | None
) -> Iterator[Plain]:
    """Write every joint that is in error, barred, referred, without connector or without a price, then every box."""
    told, not_made = _WordsTold(), _NotMade()
    for entry, decision in entries:
        if decision is None:
            yield error_item(told.errors(entry), **identified(entry))
        elif not decision.made:
            yield {**identified(entry), **not_made.told(entry, decision)}
        elif planned and (without := _without_price(entry, decision, planned.wanted)):
            yield {**identified(entry), "outcome": "no-price", "connectors": without}
        if entry.check and entry.check["verdict"] == "unsound" and decision and decision.made:
            yield {**identified(entry), "outcome": "unsound", "violations": entry.check["violations"]}
    for box in boxes:
        if box.errors:
            yield error_item(told.errors(box), **identified(box))
        else:
            yield from _box_problems(box)


class _NotMade:
    """Writes why joints are not made, and what would do. For joints that say the same it is looked up once."""

    def __init__(self) -> None:
        self._before: dict[str, list[str]] = {}  # by answer: the joints that ask the same
        # By the identity of what was asked, which the joints of the job keep.
        self._because: dict[int, list[tuple[Plain, list[str]]]] = {}
        self._remedies: dict[int, list[bytes]] = {}

    def told(self, entry: JobEntry, decision: Decision) -> Plain:
        """Write it; in short where joints that ask the same have told it often enough."""
        asked, before = _asked(entry), self._before.setdefault(decision.answer, [])
        because = self._because.get(id(asked)) or self._because.setdefault(id(asked), list(_reasons(decision, asked)))
        before.append(entry.pointer)
        within = _within(entry)
        in_short = len(before) > _MOST_ALIKE
        written: Plain = {
            "outcome": decision.outcome,
            "because": [
                {**said, "at": [within + at for at in places]} if places else said
                for said, places in because[: 1 if in_short else None]
            ],
        }
        if in_short:
            return {**written, "same_as": before[0]}
        if decision.remedies is None:
            return {**written, "remedies_looked_for": False}
        texts = self._remedies.get(id(asked))
        if texts is None:
            texts = self._remedies[id(asked)] = [orjson.dumps(one.told(asked)) for one in decision.remedies]
        return {**written, "remedies": [_moved(orjson.loads(text), within) for text in texts]}


def _reasons(decision: Decision, asked: ParsedQuestion) -> Iterator[tuple[Plain, list[str]]]:
    """Give each reason with the pointers to what it speaks of, into what was sent."""
    order, sent = order_of(asked), _sent(asked)
    for told in decision.because:
        yield told, [sent.from_root(at) for at in placed_pointers(told.get("at", ()), order)]


def _moved(remedy: Plain, within: str) -> Plain:
    """Let the patches of a remedy lead into the job."""
    for patched in (remedy, *remedy.get("joints", ())):
        for operation in patched.get("patch", ()):
            operation["path"] = within + operation["path"]
    return remedy


def _within(entry: JobEntry) -> str:
    """Give the pointer to what was sent, of which a joint's question is a part."""
    return entry.pointer.removesuffix(_sent(_asked(entry)).pointer)


def _in_job(pointer: str, entry: JobEntry) -> str:
    """Turn a pointer into a joint's question to one into the job; what a box says of its joints stands there."""
    return _within(entry) + _sent(_asked(entry)).from_root(pointer)


def _asked(entry: JobEntry) -> ParsedQuestion:
    assert entry.reading.asked is not None
    return entry.reading.asked


def _sent(asked: ParsedQuestion) -> Sent:
    assert asked.sent is not None
    return asked.sent


class _WordsTold:
    """Long lists of the words that would be right, each told once in a list: thousands may be wrong in the same way."""

    def __init__(self) -> None:
        self._first: dict[str, str] = {}

    def errors(self, one: JobEntry | Filled) -> list[Plain]:
        """Write what is wrong with a joint or box."""
        return [self._told(error) for error in one.errors]

    def _told(self, error: Problem) -> Plain:
        wrong, _, words = error.says.partition(USE_ONE_OF)
        first = error.pointer if len(words) < _LONG else self._first.setdefault(words, error.pointer)
        found = error.to_dict()
        if first != error.pointer:
            found["says"] = f"{wrong}; use one of those told at {first}"
            found.pop("allowed", None)
        return found


def _without_price(entry: JobEntry, decision: Decision, wanted: Wanted) -> list[str]:
    """Give the connectors of which one needs a price, where none that a joint may be made with has one."""
    return sorted({c for one in made_of(entry, decision) if not wanted.usable(one.ranked) for c in one.ranked})


def _box_problems(box: Filled) -> Iterator[Plain]:
    answer = box.answer
    if answer["fits"] is False:
        needs, has = (f"{answer[key]['in3']:.10g} in3" for key in ("required", "volume"))
        says = f"What is in the box asks for {needs}, and it has {has}."
        yield {**identified(box), "outcome": "box-too-small", "says": says, "smallest": _smallest(box)}
    if answer["problems"]:
        told = [{**problem, "pointer": box.pointer + problem["pointer"]} for problem in answer["problems"]]
        yield {**identified(box), "outcome": "box-contradicts", "because": told}
    if answer["referrals"]:
        yield {**identified(box), "outcome": "box-not-judged", "because": answer["referrals"]}


def _smallest(box: Filled) -> list[Plain]:
    """Give the standard boxes that would do, the least of them, as the answer about a box writes them."""
    return list(box.answer["smallest"][:_BOXES_TOLD])


# --- joints and boxes ----------------------------------------------------------------------


def joints_plain(
    entries: Iterable[tuple[JobEntry, Decision | None]], uses: Iterator[tuple[Use, ...]], *, full: bool
) -> Iterator[Plain]:
    """Write each joint: its outcome and connectors, or its errors. `uses` goes on by one for each joint made."""
    told = _WordsTold()
    for entry, decision in entries:
        if decision is None:
            yield error_item(told.errors(entry), **identified(entry))
            continue
        written = {**identified(entry), "outcome": decision.outcome, "answer": decision.answer}
        made: tuple[Use, ...] = ()
        if decision.outcome == "options":
            made = next(uses)
            written |= {"counts": {"options": len(decision.options)}, "connectors": _uses_plain(made)}
        elif decision.parts:
            written["outcome"] = "split"
            written["joints"] = [
                {"takes": part.takes, "answer": part.answer, "connectors": _uses_plain(next(uses))}
                for part in decision.parts
            ]
        if entry.check:
            written["check"] = {**entry.check, "kept": _is_kept(made, entry.check["proposed"])}
        if full:
            written["assumed"] = assumed_plain(entry.reading.assumed, entry.pointer)
        written |= read_as_plain(entry.reading.read_as, entry.pointer)
        yield {**written, "amended": list(decision.amended)} if decision.amended else written


def _is_kept(made: Collection[Use], proposed: Plain) -> bool:
    return bool(made) and all(is_proposed(use.choice, proposed) for use in made)


def _uses_plain(uses: Iterable[Use]) -> list[Plain]:
    return [
        {
            "connector": use.choice.connector,
            "name": use.choice.name,
            "method": use.choice.method,
            "rank": use.rank,
            "count": use.count,
            "fill": {"basis": use.choice.basis},
        }
        for use in uses
    ]


def boxes_plain(boxes: Iterable[Filled], *, full: bool) -> Iterator[Plain]:
    """Write each box: what it asks for and has, or its errors. Its joints stand among the joints."""
    told = _WordsTold()
    for box in boxes:
        if box.errors:
            yield error_item(told.errors(box), **identified(box))
        else:
            kept = {key: box.answer[key] for key in ("fits", "required", "volume", "left")}
            kept["smallest"] = _smallest(box)
            kept["counts"] = {"joints": len(box.entries)}
            if full:
                kept["assumed"] = assumed_plain(box.assumed, box.pointer)
            kept |= read_as_plain(box.read_as, box.pointer)
            yield {**identified(box), "outcome": "filled", **kept}


# --- what holds for many -------------------------------------------------------------------


def cautions_plain(decided: Iterable[tuple[JobEntry, Decision]], *, full: bool) -> list[Plain]:
    """Write each caution once, with how many of the job's joints it is for (full: and which)."""
    held: dict[tuple[str, str, str], list[JobEntry]] = {}
    for entry, decision in decided:
        for caution in {caution: None for one in (decision, *decision.parts) for caution in one.cautions}:
            held.setdefault(caution, []).append(entry)
    return [
        {
            "rule": rule,
            "kind": kind,
            "says": says,
            "joint_count": sum(entry.quantity or 0 for entry in entries),
            **({"joints": [entry.name for entry in entries]} if full else {}),
        }
        for (rule, kind, says), entries in sorted(held.items())
    ]


def judged_of_job(decided: Iterable[tuple[JobEntry, Decision]]) -> list[Plain]:
    """Write of each concern whether it was judged, for how many joints, and the first that lacks a word."""
    alike: dict[tuple[Any, str | None], tuple[JobEntry, Decision, int]] = {}
    for entry, decision in decided:
        same = (decision.judged, entry.room.get("why", "") if entry.room else None)
        earliest, _, joints = alike.get(same, (entry, decision, 0))
        alike[same] = (earliest, decision, joints + (entry.quantity or 0))
    found: dict[tuple[str, str, str], tuple[Plain, int]] = {}
    for entry, decision, joints in alike.values():
        for one in _judged_of(entry, decision):
            key = (one["concern"], one.get("why", ""), one["article"])
            first, count = found.get(key, (one, 0))
            found[key] = (first, count + joints)
    places = {concern: at for at, concern in enumerate(concern_words())}
    ordered = sorted(found.values(), key=lambda pair: places.get(pair[0]["concern"], len(places)))
    return [{**one, "joint_count": count} for one, count in ordered]


def _judged_of(entry: JobEntry, decision: Decision) -> Iterator[Plain]:
    for one in judged_plain(decision.judged, _asked(entry).entering):
        if entry.room and one["concern"] == entry.room["concern"]:
            yield {**entry.room, "article": one["article"]} if "why" not in entry.room else entry.room
        else:
            yield {**one, "asks": _in_job(one["asks"], entry)} if "asks" in one else one


def amended_in_job(decided: Iterable[tuple[JobEntry, Decision]]) -> list[Plain]:
    """Write each rule that amendments took out once, with how many of the job's joints it would have spoken of."""
    return amended_in_all(
        (itertools.chain.from_iterable(one.amended for one in (decision, *decision.parts)), entry.quantity or 0)
        for entry, decision in decided
    )


def box_cautions_plain(boxes: Iterable[Filled]) -> list[Plain]:
    """Write each caution about boxes once, with how many boxes it is for."""
    counts: Counter[str] = Counter()
    for box in boxes:
        for caution in {json.dumps(caution) for caution in box.answer.get("cautions", ())}:
            counts[caution] += box.quantity or 0
    return [{**json.loads(text), "box_count": counts[text]} for text in sorted(counts)]


def assumed_in(counted: str, all_assumed: Iterable[tuple[Mapping[str, Any], int]]) -> Plain:
    """Write what was assumed for joints or boxes, given with how many there are of each: by leaf, each default once.

    `counted` is the key that tells for how many it was filled in.
    """
    alike: Counter[bytes] = Counter()  # by what was assumed, as text
    for assumed, quantity in all_assumed:
        alike[orjson.dumps(assumed)] += quantity
    counts: Counter[tuple[str, str]] = Counter()
    for text, count in alike.items():
        for leaf in {(_NUMBERED.sub("/*", at), json.dumps(value)) for at, value in orjson.loads(text).items()}:
            counts[leaf] += count
    found: dict[str, list[Plain]] = {}
    for (at, value), count in sorted(counts.items()):
        found.setdefault(at, []).append({"value": json.loads(value), "from": "default", counted: count})
    return found
