"""A request about a box in, its answer out."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property, partial
from typing import TYPE_CHECKING, Any

from splicewright.answer_forms import amended_in_all, error_item, errors_plain
from splicewright.box.allowances import Allowance, allowances
from splicewright.box.body_volume import Bodies, bodies_of
from splicewright.box.joints import Decided, decide
from splicewright.box.model import BoxRequest, Section
from splicewright.box.read import read_box
from splicewright.box.volume import CM3_PER_IN3, NOTHING, Volume, total
from splicewright.box.wiring import length_asked, more_than_the_wires, on_no_wire, too_few_gangs, too_short
from splicewright.project.finding import project_of_process
from splicewright.question.read import UNSAID, assumed_plain
from splicewright.question.read_as import read_as_plain
from splicewright.refusals import Problem, Says
from splicewright.tables.boxes import (
    PRACTICE,
    AllowanceRules,
    AllowanceText,
    allowance_rules,
    box_source,
    conductor_volume,
    crowded_says,
    practice_says,
    settled_by_fill,
    standard_boxes,
)
from splicewright.units import Size

if TYPE_CHECKING:
    from splicewright.answering import Chooser
    from splicewright.work import Budget

Plain = dict[str, Any]
_UNSEARCHED = Says(
    "is refused, after so many joints that what would do instead was not looked for; ask this one alone",
    "not-searched",
)


@dataclass(frozen=True, slots=True)
class Fitting:
    """A standard box with its volume and that of the extensions; `gangs` 0 where it is not made by gangs."""

    name: str
    gangs: int
    volume: Volume


def that_would_do(required: Volume, added: Volume, gangs: int) -> list[Fitting]:
    """Give the standard boxes whose volume, with what extensions add, is enough; like volumes by name.

    Boxes made by gangs are taken with as many gangs as the devices need.
    """
    found = [
        Fitting(box.name, gangs if box.per_gang else 0, Volume(box.volume(gangs)) + added)
        for box in standard_boxes().values()
    ]
    return sorted((one for one in found if one.volume >= required), key=lambda one: (one.volume, one.gangs, one.name))


def fill_box(given: Any, chooser: Chooser | None = None, *, budget: Budget | None = None) -> Plain:
    """Reckon the fill of a box and decide the joints in it: the shape of POST /v1/boxes.

    The shape of the answer is described in `api/shapes/boxes.py` and printed in `openapi/openapi.yaml`. Volumes
    are {in3, cm3}: cubic inches are exact and decide. What can't be told is null: whether a box fits that is not known,
    or in which something has no volume (`referrals` tell what). A joint that is no valid question has
    `outcome: "error"` and its errors.

    Raises `Refused` with every problem where the request itself is not valid.
    """
    return fill_with_joints(given, chooser, budget=budget)[0]


def fill_with_joints(
    given: Any, chooser: Chooser | None = None, *, budget: Budget | None = None
) -> tuple[Plain, list[Decided]]:
    """Give what `fill_box` gives, and the joints as they were read, in the same places. Raises what it raises."""
    own = isinstance(given, Mapping) and isinstance(given.get("catalogue"), Mapping)
    asks = isinstance(given, Mapping) and bool(given.get("joints") or given.get("amendments"))
    if chooser is None and (asks or own or project_of_process() is not None):
        from splicewright.answering import chooser_here  # noqa: PLC0415 - a box without joints needs no engine

        chooser = chooser_here()
    if chooser is not None:
        chooser, given = chooser.with_own_catalogue(given, budget)
    unsaid = UNSAID if chooser is None else chooser.holding.unsaid
    request = read_box(given, unsaid)
    amendments = tuple(request.laid.get("amendments", ()))
    if chooser is None or not (request.joints or amendments):
        return filled(request, [], chooser), []
    from splicewright.work import Budget  # noqa: PLC0415

    budget = budget or Budget()
    # What is not known is the request's fault, not that of each joint.
    chooser.catalogue(request.catalogue)
    chooser.holding.rules(request.code, amendments)
    again = partial(read_box, unsaid=unsaid)
    decided = decide(request, partial(chooser.answer, budget=budget), given, again)
    answer = filled(request, decided, chooser)
    unsearched = [one for one in decided if one.asked and one.asked.question in budget.unsearched]
    answer["problems"] += [Problem(one.pointer, _UNSEARCHED).to_dict() for one in unsearched]
    return answer, decided


def filled(request: BoxRequest, decided: list[Decided], chooser: Chooser | None) -> Plain:
    """Reckon the fill of a box that was read and whose joints were decided: the answer about it."""
    rules = allowance_rules(request.code)
    counted = allowances(request.contents, rules)
    bodies = bodies_of(decided, chooser) if chooser and any(one.first for one in decided) else None
    fill = _Fill(request, tuple(counted))
    answer: Plain = {} if request.id is None else {"id": request.id}
    length = length_asked(request)
    amendments = list(request.laid.get("amendments", ()))
    amended = amended_in_all((one.answer.get("amended", ()), 1) for one in decided)
    return answer | {
        "code": request.code,
        "fits": fill.fits,
        "required": fill.required.to_dict(),
        "volume": _plain(request.volume),
        "left": _plain(fill.left),
        "sections": [_section(one, request.code) for one in (request.box, *request.extensions) if one],
        "allowances": [_allowance(one) for one in counted],
        "smallest": [_smallest(one, fill.required) for one in fill.smallest],
        **({"free_length": length} if length else {}),
        "problems": errors_plain(_problems(request, decided)),
        "referrals": [_told(rules.handed_over, size=size) for size in fill.unknown],
        "judged": [fill.judged],
        "joints": [_joint(one, fill) for one in decided],
        **({"bodies": bodies.to_dict()} if bodies else {}),
        "cautions": list(_cautions(request, fill, bodies, rules, answered=any(one.joint for one in decided))),
        "assumed": assumed_plain(request.assumed, told_by=request.told_by),
        **read_as_plain(request.read_as),
        **({"amended": amended} if amendments or amended else {}),
        "rulesets": {"code": request.code, "amendments": amendments},
    }


@dataclass(frozen=True)
class _Fill:
    """What the allowances come to, beside the box."""

    request: BoxRequest
    counted: tuple[Allowance, ...]

    @cached_property
    def unknown(self) -> list[Size]:
        """The sizes present that have no volume here, the largest first."""
        return sorted({one.size for one in self.counted if one.each is None}, reverse=True)

    @cached_property
    def required(self) -> Volume:
        """The volume of all others."""
        return total(one.total for one in self.counted if one.total is not None)

    @cached_property
    def fits(self) -> bool | None:
        """Whether the box holds them; None where that can't be told."""
        volume = self.request.volume
        if volume is None or (self.unknown and volume >= self.required):
            return None
        return volume >= self.required

    @cached_property
    def judged(self) -> Plain:
        """Whether the room of the box was judged, as an answer tells of a concern; `asks` points into the request."""
        concern = settled_by_fill()
        if self.fits is None and self.unknown:
            article = allowance_rules(self.request.code).handed_over.source["section"]
            return {"concern": concern, "why": "no-rule", "article": article}
        article = box_source(self.request.code, self.request.box.part if self.request.box else "marked")["section"]
        if self.fits is None:
            return {"concern": concern, "why": "not-stated", "asks": "/box", "article": article}
        return {"concern": concern, "article": article}

    @cached_property
    def left(self) -> Volume | None:
        """What is left over, below nothing where the box falls short; None where that can't be told."""
        volume = self.request.volume
        return None if volume is None or self.unknown else volume - self.required

    @cached_property
    def smallest(self) -> list[Fitting]:
        """The standard boxes that would do."""
        if self.unknown:
            return []
        return that_would_do(self.required, self.request.added, self.request.contents.gangs)


def _problems(request: BoxRequest, decided: list[Decided]) -> Iterator[Problem]:
    yield from too_few_gangs(request)
    yield from too_short(request)
    yield from on_no_wire(request)
    yield from more_than_the_wires(request, decided)


def _plain(volume: Volume | None) -> Plain | None:
    return None if volume is None else volume.to_dict()


def _section(section: Section, code: str) -> Plain:
    return {"for": section.words, "volume": section.volume.to_dict(), "source": box_source(code, section.part)}


def _allowance(allowance: Allowance) -> Plain:
    volume = conductor_volume(allowance.size)
    return {
        "kind": allowance.kind,
        "for": allowance.words,
        "count": int(allowance.count) if allowance.count.denominator == 1 else float(allowance.count),
        "size": allowance.size.to_dict(),
        "row": volume.row.to_dict() if volume else None,
        "each": _plain(allowance.each),
        "total": _plain(allowance.total),
        "source": allowance.source,
    }


def _smallest(fitting: Fitting, required: Volume) -> Plain:
    gangs = {"gangs": fitting.gangs} if fitting.gangs else {}
    return {
        "name": fitting.name,
        **gangs,
        "volume": fitting.volume.to_dict(),
        "left": (fitting.volume - required).to_dict(),
    }


def _joint(decided: Decided, fill: _Fill) -> Plain:
    """Give a joint's answer with the room of its box as the fill has it, but where that asks for a part of the box."""
    if decided.problems:
        return error_item(errors_plain(decided.problems), id=decided.id, pointer=decided.pointer)
    answer, room = dict(decided.answer), fill.judged
    if decided.asked is None or "asks" in room or "judged" not in answer:
        return answer
    told = [room if one["concern"] == room["concern"] else one for one in answer["judged"]]
    if "judged" not in decided.asked.include:  # only what was not judged, and without articles
        told = [{key: one[key] for key in one if key != "article"} for one in told if "why" in one]
    return {**answer, "judged": told}


def _told(told: AllowanceText, **places: object) -> Plain:
    return {"says": told.words.format(**places), "source": told.source}


def _cautions(
    request: BoxRequest, fill: _Fill, bodies: Bodies | None, rules: AllowanceRules, *, answered: bool
) -> Iterator[Plain]:
    contents = request.contents
    for size in sorted({one.size for one in fill.counted if one.count}, reverse=True):
        volume = conductor_volume(size)
        if volume and not volume.exact:
            yield _practice("next_larger", size=size, row=volume.row)
    if "/clamps" in request.assumed and (largest := conductor_volume(contents.largest)):
        yield _practice("clamps_not_stated", more=Volume(largest.in3) * rules.clamps[0])
    if not rules.grounding.isolated_apart and any(wire.isolated and wire.path != "stays" for wire in contents.wires):
        yield _told(rules.grounding.isolated_together)
    if contents.terminal_blocks and not rules.terminal_blocks[0]:
        yield _told(rules.blocks_not_counted)
    if fill.left is not None and _by_a_rounding(request, fill.left):
        yield _practice("metric_mark")
    yield from _crowding(fill, bodies)
    if fill.smallest:
        yield _practice("smallest")
    if not answered:  # the answer of a joint says so too
        yield _practice("governs")


def _practice(name: str, **places: object) -> Plain:
    return {"says": practice_says(name, **places), "source": PRACTICE}


def _by_a_rounding(request: BoxRequest, left: Volume) -> bool:
    """Say whether a box marked in whole cm3 is short by no more than half of one for each mark."""
    half = Volume(Fraction(1, 2) / CM3_PER_IN3)
    return left < NOTHING <= left + half * request.metric_marks


def _crowding(fill: _Fill, bodies: Bodies | None) -> Iterator[Plain]:
    if bodies is None:
        return
    if fill.fits and fill.left is not None and bodies.crowd(fill.left):
        says = crowded_says(count=bodies.count, bodies=bodies.volume, left=fill.left)
        yield {"says": says, "source": PRACTICE}
    if bodies.size_unknown:
        yield _practice("size_unknown", connectors=", ".join(bodies.size_unknown))
