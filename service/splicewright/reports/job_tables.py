"""A job's answer as tables: its joints as they were asked with what makes each, takeoff, wire, stock plan, problems.

The tables of joints keep every column of the user's own and can be read again: what is added begins with `answer`.
Headings of the other tables are none of a table of joints.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any, NamedTuple

from splicewright.answering import Chooser
from splicewright.job.shelf_figures import catalogue_used
from splicewright.job.tables import TableJob, grids_of
from splicewright.json_pointer import value_at
from splicewright.question.given import laid_under
from splicewright.refusals import Refused
from splicewright.reports.kept_cells import OWN, kept_cell, kept_columns
from splicewright.reports.words import both_units, departures, feet, figure_of_conductor, size_text, value_text

Plain = dict[str, Any]
_PARTS = ("joint", "place", "circuit", "work")
_ANSWERS = ("connector", "method", "strip", "torque", "tool", "fill")
_NOT_KNOWN = "not known"


class Table(NamedTuple):
    """One table: its name, headings and rows. Cells are text, numbers, true or false, days, or None."""

    name: str
    head: Sequence[str]
    rows: Sequence[Sequence[Any]]


def job_tables(answer: Plain, asked: TableJob, chooser: Chooser) -> list[Table]:
    """Give the tables of an answer to a job that was read from tables."""
    return [
        *_joints(answer, asked, chooser),
        _takeoff(answer["takeoff"], answer["shelf"]),
        _wire(answer["pigtails_and_jumpers"]),
        *([_stock(answer["stock_plan"])] if "stock_plan" in answer else []),
        *([_boxes(answer["boxes"])] if answer["boxes"] else []),
        _problems(answer["problems"], asked),
    ]


# --- joints ----------------------------------------------------------------------------------


def _joints(answer: Plain, asked: TableJob, chooser: Chooser) -> Iterator[Table]:
    told = _MadeWith(answer, asked, chooser)
    problems = {one["pointer"]: one for one in answer["problems"]}
    proposed = ["proposal"] if any("check" in one for one in answer["joints"]) else []
    added = [OWN, *(f"{OWN} {one}" for one in (*_ANSWERS, *proposed, "reasons"))]
    if not asked.joints:  # the job is a document
        rows = [
            [
                one.get("id", one["pointer"]),
                one.get("quantity"),
                *told.cells(at),
                *(_proposal(one) for _ in proposed),
                _reasons(problems.get(one["pointer"])),
            ]
            for at, one in enumerate(answer["joints"])
        ]
        yield Table("Joints", ["id", "quantity", *added], rows)
    for grid, places in grids_of(asked):
        kept = kept_columns(grid)
        rows = []
        for place in places:
            own = [_proposal(answer["joints"][place]) for _ in proposed]
            beside = [*told.cells(place), *own, _reasons(problems.get(f"/joints/{place}"))]
            for row in asked.joints[place].rows:
                rows.append([*(kept_cell(grid, row, at) for at in kept), *beside])
                beside = [None] * len(beside)
        yield Table(grid.sheet or "Joints", [*(str(grid.head.values[at] or "") for at in kept), *added], rows)


class _MadeWith:
    """Tells what each joint is made with, by the plan."""

    def __init__(self, answer: Plain, asked: TableJob, chooser: Chooser) -> None:
        self._joints = answer["joints"]
        self._job = asked.value
        self._chooser, name = catalogue_used(answer, asked.value, chooser)
        code, amendments = (answer["rulesets"][key] for key in ("code", "amendments"))
        self._laid = {"code": code, "catalogue": name, **({"amendments": amendments} if amendments else {})}
        self._known: dict[tuple[str, str], Plain] = {}

    def cells(self, place: int) -> list[str | None]:
        """Give the cells for one joint: what it came to, then those of `_ANSWERS`, alternatives with `;` between."""
        joint = self._joints[place]
        if joint["outcome"] == "split":
            parts = [one for part in joint["joints"] for one in part["connectors"]]
            return ["split", *_told(parts, [{} for _ in parts])]
        uses = joint.get("connectors", [])
        return [joint["outcome"], *_told(uses, [self._option(joint, use["connector"]) for use in uses])]

    def _option(self, joint: Plain, connector: str) -> Plain:
        key = (joint["answer"], connector)
        if key not in self._known:
            given = value_at(self._job, joint["pointer"]) or {}
            said = {part: given[part] for part in _PARTS if part in given}
            question = laid_under(said, self._job.get("defaults", {}))[0]
            asked = {**self._laid, **question, "only": {"connectors": [connector]}}
            try:
                self._known[key] = next(iter(self._chooser.choose(asked, explain="brief")["options"]), {})
            except Refused:  # of a joint in a box, whose words are not all its own
                self._known[key] = {}
        return self._known[key]


def _told(uses: Sequence[Plain], options: Sequence[Plain]) -> list[str | None]:
    several = len(uses) > 1
    named = [f"{use['connector']} x {use['count']}" if several else use["connector"] for use in uses]
    strips = [_figure(option, "strip") or _NOT_KNOWN for option in options]
    torques = [_figure(option, "torque") for option in options]
    tools = [option.get("tool") for option in options]
    found = (named, [use["method"] for use in uses], strips, torques, tools, [use["fill"]["basis"] for use in uses])
    return [_alternatives(one) for one in found]


def _figure(option: Plain, figure: str) -> str | None:
    """Word a figure: for each kind of conductor where they differ in it."""
    each = [figure_of_conductor(one) for one in option.get("by_conductor", ()) if one["figure"] == figure]
    if each or figure not in option:
        return ", ".join(each) or None
    return both_units(option[figure]) if figure == "strip" else value_text(option[figure])


def _alternatives(found: Sequence[str | None]) -> str | None:
    alike = list(dict.fromkeys(found))
    return "; ".join(one or "-" for one in (alike if len(alike) == 1 else found)) if any(found) else None


def _proposal(joint: Plain) -> str | None:
    """Word whether a joint is made with what is proposed for it; None where nothing is."""
    if "check" not in joint:
        return None
    _, proposed, _ = next(departures([joint]), (joint, "", ""))
    return f"{joint['check']['verdict']}, {f'departs from {proposed}' if proposed else 'made with it'}"


def _reasons(problem: Plain | None) -> str | None:
    if problem is None:
        return None
    told = problem.get("errors") or problem.get("because") or problem.get("violations") or ()
    words = [one["says"] for one in told] or [problem.get("says", "no price for any of its connectors")]
    return "\n".join(words)


# --- what is needed ----------------------------------------------------------------------------


def _takeoff(lines: Sequence[Plain], in_all: Plain) -> Table:
    head = (
        "connector", "called", "kind", "pieces", "spares", "already carried", "on the shelf", "to buy", "per pack",
        "packs", "price", "cost", "minutes",
    )  # fmt: skip
    rows: list[list[Any]] = [
        [
            line["connector"], line["name"], line["method"], line["count"], line["spare_count"], line.get("carried"),
            _known(own, "on_hand"), own["to_buy_count"], own.get("per_pack"), own.get("pack_count"),
            *(_known(own, what) for what in ("price", "cost", "minutes")),
        ]
        for line in lines
        for own in (line["shelf"],)
    ]  # fmt: skip
    pieces = sum(line["count"] for line in lines)
    rows.append(
        ["in all", *[None] * 2, pieces, *[None] * 7, *(_sum(in_all, what, len(lines)) for what in ("cost", "minutes"))]
    )
    return Table("Takeoff", head, rows)


def _known(own: Plain, what: str) -> Any:
    return own.get(what, _NOT_KNOWN)


def _sum(in_all: Plain, what: str, of: int) -> Any:
    """Give the sum of what is known; in words where some of it is not."""
    unknown = len(in_all[f"without_{what}"])
    if not unknown:
        return in_all[what]
    return f"{in_all[what]:g}, and {unknown} of {of} not known" if what in in_all else _NOT_KNOWN


def _wire(tails: Sequence[Plain]) -> Table:
    head = ("cut as", "wire", "metal", "serves as", "color", "pieces", "feet each", "feet in all")
    rows = [
        [
            tail["kind"], size_text(tail["size"]), tail["material"], tail["role"], tail.get("color"), tail["count"],
            feet(tail["length"]), feet(tail["total"]),
        ]
        for tail in tails
    ]  # fmt: skip
    return Table("Wire", head, rows)


def _stock(plan: Plain) -> Table:
    alone = {one["connector"]: one["joint_count"] for one in plan["covers"]}
    rows = [
        [one["connector"], one["name"], one["carried"], one.get("joint_count"), alone.get(one["connector"])]
        for one in plan["types"]
    ]
    proof = "proven" if plan["proven_optimal"] else f"not proven: {100 * plan['gap']:.2f}% may be gained"
    rows.append([f"for {plan['aim']}, {proof}", None, None, plan["counts"]["made"], None])
    if plan["counts"]["not_made"]:
        rows.append(["joints that no type here makes", None, None, plan["counts"]["not_made"], None])
    return Table("Stock plan", ("connector", "called", "already carried", "makes", "could make alone"), rows)


def _boxes(boxes: Sequence[Plain]) -> Table:
    head = ("box name", "pieces", "came to", "cubic inches needed", "standard boxes that would do")
    rows = [
        [
            one.get("id", one["pointer"]), one.get("quantity"), one["outcome"], one.get("required", {}).get("in3"),
            ", ".join(box["name"] for box in one.get("smallest", ())) or None,
        ]
        for one in boxes
    ]  # fmt: skip
    return Table("Boxes", head, rows)


def _problems(problems: Sequence[Plain], asked: TableJob) -> Table:
    rows = []
    for one in problems:
        spot = asked.spot(one["pointer"])
        where = None if spot is None else f"{spot.sheet}!{spot.cell}" if spot.sheet else f"line {spot.line}"
        rows.append([one.get("id", one["pointer"]), one.get("quantity"), one["outcome"], _reasons(one), where])
    return Table("Problems", ("problem of", "pieces", "came to", "because", "stands at"), rows)
