"""The parts of a job's answer in their JSON form."""

from __future__ import annotations

import json
import re
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Any

from splicewright.answering.answer_json import judged_plain
from splicewright.job.model import Decision, Filled, JobEntry, Plain, Stock, Use, money
from splicewright.job.planning import Planned
from splicewright.job.stock import Plan, Wanted
from splicewright.job.takeoff import Made
from splicewright.question.model import read_as_plain
from splicewright.reading import USE_ONE_OF, Problem
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
    told, alike = _WordsTold(), dict[str, list[str]]()
    for entry, decision in entries:
        if decision is None:
            yield {**identified(entry), "outcome": "error", "errors": told.errors(entry)}
        elif not decision.made:
            before = alike.setdefault(decision.answer, [])
            yield {**identified(entry), **_not_made(decision, before)}
            before.append(entry.pointer)
        elif planned and (without := _without_price(decision, planned.wanted)):
            yield {**identified(entry), "outcome": "no-price", "connectors": without}
        if entry.check and entry.check["verdict"] == "unsound" and decision and decision.made:
            yield {**identified(entry), "outcome": "unsound", "violations": entry.check["violations"]}
    for box in boxes:
        if box.errors:
            yield {**identified(box), "outcome": "error", "errors": told.errors(box)}
        else:
            yield from _box_problems(box)


def _not_made(decision: Decision, before: Sequence[str]) -> Plain:
    """Write why; in short where joints that ask the same, `before` this one, have told it often enough."""
    if len(before) >= _MOST_ALIKE:
        return {
            "outcome": decision.outcome,
            "same_as": before[0],
            "because": list(decision.because[:1]),
            "remedies": None,
        }
    return {
        "outcome": decision.outcome,
        "because": list(decision.because),
        "remedies": None if decision.remedies is None else list(decision.remedies),
    }


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


def _without_price(decision: Decision, wanted: Wanted) -> list[str]:
    """Give the connectors of which one needs a price, where none of a joint's options has one."""
    return sorted({c for one in decision.made if not any(map(wanted.may_use, one.ranked)) for c in one.ranked})


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
            yield {**identified(entry), "outcome": "error", "errors": told.errors(entry)}
            continue
        written = {**identified(entry), "outcome": decision.outcome, "answer": decision.answer}
        if decision.outcome == "options":
            written |= {"options": len(decision.options), "connectors": _uses_plain(next(uses))}
        elif decision.parts:
            written["outcome"] = "split"
            written["joints"] = [
                {"takes": part.takes, "answer": part.answer, "connectors": _uses_plain(next(uses))}
                for part in decision.parts
            ]
        if entry.check:
            written["check"] = entry.check
        written["assumed"] = _assumed(entry, entry.reading.assumed, full=full)
        written |= read_as_plain(entry.reading.read_as, entry.pointer)
        yield written


def _uses_plain(uses: Iterable[Use]) -> list[Plain]:
    return [
        {
            "connector": use.choice.connector,
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
            yield {**identified(box), "outcome": "error", "errors": told.errors(box)}
        else:
            kept = {key: box.answer[key] for key in ("fits", "required", "volume", "left")}
            kept["smallest"] = _smallest(box)
            kept |= {"joints": len(box.entries), "assumed": _assumed(box, box.assumed, full=full)}
            kept |= read_as_plain(box.read_as, box.pointer)
            yield {**identified(box), "outcome": "filled", **kept}


# --- what holds for many -------------------------------------------------------------------


def cautions_plain(decided: Iterable[tuple[JobEntry, Decision]], *, full: bool) -> list[Plain]:
    """Write each caution once, with how many of the job's joints it is for (full: and which)."""
    names: dict[tuple[str, str, str], list[str]] = {}
    for entry, decision in decided:
        for caution in {caution: None for one in (decision, *decision.parts) for caution in one.cautions}:
            names.setdefault(caution, []).append(entry.name)
    return [
        {"rule": rule, "kind": kind, "says": says, "joints": len(found), **({"of": found} if full else {})}
        for (rule, kind, says), found in sorted(names.items())
    ]


def judged_of_job(decided: Iterable[tuple[JobEntry, Decision]]) -> list[Plain]:
    """Write of each concern whether it was judged, for how many joints, and the first that lacks a word."""
    alike: dict[tuple[int, str | None], tuple[JobEntry, Decision, int]] = {}
    for entry, decision in decided:
        same = (id(decision), entry.room.get("why", "") if entry.room else None)
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
    return [{**one, "joints": count} for one, count in ordered]


def _judged_of(entry: JobEntry, decision: Decision) -> Iterator[Plain]:
    assert entry.reading.asked is not None
    for one in judged_plain(decision.judged, entry.reading.asked.entering):
        if entry.room and one["concern"] == entry.room["concern"]:
            yield {**entry.room, "article": one["article"]} if entry.room["judged"] else entry.room
        else:
            yield {**one, "asks": entry.pointer + one["asks"]} if "asks" in one else one


def box_cautions_plain(boxes: Iterable[Filled]) -> list[Plain]:
    """Write each caution about boxes once, with how many of them it is for."""
    counts: Counter[str] = Counter()
    for box in boxes:
        counts.update({json.dumps(caution) for caution in box.answer.get("cautions", ())})
    return [{**json.loads(text), "boxes": counts[text]} for text in sorted(counts)]


def assumed_in(of: str, all_assumed: Iterable[Mapping[str, Any]]) -> list[Plain]:
    """Write what was assumed for joints or boxes (`of`): each default once, with how many it was filled in for."""
    shared: dict[int, tuple[Mapping[str, Any], int]] = {}
    for assumed in all_assumed:
        _, count = shared.get(id(assumed), (assumed, 0))
        shared[id(assumed)] = (assumed, count + 1)
    counts: Counter[tuple[str, str]] = Counter()
    for assumed, count in shared.values():
        for leaf in {(_NUMBERED.sub("/*", at), json.dumps(value)) for at, value in assumed.items()}:
            counts[leaf] += count
    return [{"leaf": at, "value": json.loads(text), of: n} for (at, text), n in sorted(counts.items())]


def _assumed(one: JobEntry | Filled, assumed: Mapping[str, Any], *, full: bool) -> Plain | int:
    return {one.pointer + at: value for at, value in sorted(assumed.items())} if full else len(assumed)


# --- the stock plan ------------------------------------------------------------------------


def plan_plain(planned: Planned, stock: Stock, made: Sequence[Made]) -> Plain:
    """Write the stock plan with what each type covers, and its alternatives."""
    wanted, plan = planned.wanted, planned.plan
    counts = wanted.counts(plan.shares)
    return {
        "aim": stock.aim,
        "types": [
            {"connector": wanted.types[one], "carried": one in wanted.carried, "joints": counts.get(one, 0)}
            for one in plan.types
        ],
        **_worth(plan, wanted, stock),
        "covers": _covers(wanted),
        "alternatives": {
            "fewer": _fewer(planned, stock, made),
            "more": _more(planned, stock),
        },
    }


def _worth(plan: Plan, wanted: Wanted, stock: Stock) -> Plain:
    """Write what a plan is worth: proven or not, its cost, and how the joints rank what they are made with."""
    written: Plain = {"proven_optimal": plan.aim.proven, "ties_settled": plan.settled}
    if not plan.aim.proven:
        written["gap"] = round(plan.aim.gap, 6)
    counts = wanted.counts(plan.shares)
    if stock.prices:
        written["cost"] = money((wanted.cost(counts) if plan.cost is None else plan.cost) * wanted.unit)
    if not counts:
        return written
    first = sum(share.get(kind.options[0], 0) for kind, share in zip(wanted.kinds, plan.shares, strict=True))
    mean = round(1 + wanted.ranks(plan.shares) / sum(counts.values()), 2)
    return {**written, "first_choices": first, "mean_rank": mean}


def _covers(wanted: Wanted) -> list[Plain]:
    """Write how many joints each type could make alone, those that make most first."""
    found = [{"connector": one, "joints": wanted.covers([at])} for at, one in enumerate(wanted.types)]
    return sorted(found, key=lambda one: (-one["joints"], one["connector"]))


def _fewer(planned: Planned, stock: Stock, made: Sequence[Made]) -> Plain | None:
    plan, wanted = planned.fewer, planned.wanted
    if plan is None:
        return None
    held = {wanted.types[one] for one in plan.types}
    usable = [one for one in made if any(map(wanted.may_use, one.decision.ranked))]
    left = [one for one in usable if held.isdisjoint(one.decision.ranked)]
    return {
        "types": [wanted.types[one] for one in plan.types],
        **_worth(plan, wanted, stock),
        "joints": wanted.joints - sum(one.count for one in left),
        "left": sum(one.count for one in left),
        "leaves": list(dict.fromkeys(one.name for one in left)),
    }


def _more(planned: Planned, stock: Stock) -> Plain | None:
    plan, wanted = planned.more, planned.wanted
    if plan is None:
        return None
    types = [wanted.types[one] for one in plan.types]
    return {"types": types, "improves": planned.improves, **_worth(plan, wanted, stock)}
