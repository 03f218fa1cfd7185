"""A job in, its answer out."""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from copy import copy
from dataclasses import asdict, replace
from typing import Any

import orjson

from splicewright.answering import Chooser, chooser_here
from splicewright.job.boxes import fill_boxes
from splicewright.job.entries import Names, read_joints
from splicewright.job.errors import JobErrors
from splicewright.job.evaluation import Decider
from splicewright.job.garbage import full_collections_put_off
from splicewright.job.job_json import (
    assumed_in,
    box_cautions_plain,
    boxes_plain,
    cautions_plain,
    joints_plain,
    judged_of_job,
    problems_plain,
)
from splicewright.job.model import Decision, Filled, Job, JobEntry, Plain, Stock, Use, money
from splicewright.job.plan_json import StockPlanJson
from splicewright.job.planning import WORK, Planned, plan_stock
from splicewright.job.proposals import Proposals
from splicewright.job.read import check_stock, read_job
from splicewright.job.solver import solver_version
from splicewright.job.stock import wanted
from splicewright.job.takeoff import Made, first_choices, line_plain, made_joints, planned_uses, tails_plain, take_off
from splicewright.question.read import assumed_plain
from splicewright.question.read_as import read_as_plain
from splicewright.rulebook.examples import example_question
from splicewright.version import VERSION


def plan_job(given: Any, chooser: Chooser | None = None) -> Plain:
    """Decide the joints of a job, take off what it needs and plan the stock: the shape of POST /v1/jobs.

    The shape of the answer is described in `api/shapes/jobs.py` and printed in `openapi/openapi.yaml`: problems first,
    then counts, takeoff, stock plan, and each joint and box.

    A name is an id or, without one, a pointer; of a joint in a box `<name of the box>/<id or place>`. The work that a
    plan may take is counted (`stock.effort`); where it is used up, what was found is told with `proven_optimal` false.

    Raises `Refused` with every problem where the job as a whole is not valid.
    """
    chooser = chooser or chooser_here()
    job = read_job(given, chooser.holding.unsaid)
    with full_collections_put_off():
        return _answered(job, chooser)


def _answered(job: Job, chooser: Chooser) -> Plain:
    # Of the same rules and catalogue to the end, whatever is reloaded meanwhile.
    asking = copy(chooser)
    _check_names(job, asking)
    names, wrong = Names(), JobErrors()
    decider = Decider(asking, splitting=job.split_overfilled)
    proposals = Proposals(asking, wrong)
    joints = map(proposals.judged, read_joints(job, names, wrong))
    decided = [(entry, _decision(entry, decider)) for entry in joints]
    boxes = list(fill_boxes(job, names, decider, wrong))
    decided += [(entry, _decision(entry, decider)) for box in boxes for entry in box.entries]
    good = [(entry, decision) for entry, decision in decided if decision is not None]
    made = list(made_joints(good))
    planned = _plan(made, job.stock)
    uses = planned_uses(made, planned) if planned else first_choices(made)
    return _answer(job, asking, decided, good, boxes, made, planned, uses)


def _check_names(job: Job, chooser: Chooser) -> None:
    """Refuse a catalogue or connector that is not known here. Raises `Refused`."""
    catalogue = chooser.catalogue(job.catalogue)
    if job.only:
        plain = example_question({"only": job.only}, job.code).question
        chooser.holding.match(replace(plain, catalogue=job.catalogue))
    if job.stock:
        check_stock(job.stock, [connector.id for connector in catalogue.connectors])


def _decision(entry: JobEntry, decider: Decider) -> Decision | None:
    if entry.errors or entry.reading.asked is None:
        return None
    return decider.decide(entry.reading.asked, entry.reading.canonical)


def _plan(made: Sequence[Made], stock: Stock | None) -> Planned | None:
    if stock is None:
        return None
    return plan_stock(wanted(((one.decision.ranked, one.count) for one in made), stock), stock.aim, stock.effort * WORK)


def _answer(
    job: Job,
    chooser: Chooser,
    decided: list[tuple[JobEntry, Decision | None]],
    good: list[tuple[JobEntry, Decision]],
    boxes: list[Filled],
    made: list[Made],
    planned: Planned | None,
    uses: list[tuple[Use, ...]],
) -> Plain:
    digest = chooser.holding.rules(job.code).rulebook.digest
    catalogue = chooser.catalogue(job.catalogue)
    problems = list(problems_plain(decided, boxes, planned))
    lines = take_off(uses, job.stock)
    read = [box for box in boxes if not box.errors]
    assumed = {
        "assumed_in_joints": assumed_in(
            "joint_count", ((entry.reading.assumed, entry.quantity or 0) for entry, _ in good)
        ),
        "assumed_in_boxes": assumed_in("box_count", ((box.assumed, box.quantity or 0) for box in read)),
    }
    written: Plain = {} if job.id is None else {"id": job.id}
    written |= {
        "answer": _address(job, decided, boxes, assumed, [digest, catalogue.digest]),
        "problems": problems,
        "counts": {
            "joints": sum(entry.quantity or 0 for entry, _ in decided),
            "made": sum(entry.quantity or 0 for entry, decision in good if decision.made),
            "problems": len(problems),
        },
        "takeoff": [line_plain(line) for line in lines],
    }
    if job.stock and job.stock.prices:
        written["cost"] = money(sum(line.bought.cost or 0 for line in lines))
        written["unpriced"] = [line.connector for line in lines if line.bought.cost is None]
    written["pigtails_and_jumpers"] = tails_plain(good, read, job.code)
    if planned and job.stock:
        names = {connector.id: connector.name for connector in catalogue.connectors}
        written["stock_plan"] = StockPlanJson(planned, job.stock, made, names).to_dict()
    return written | {
        "joints": list(joints_plain(decided, iter(uses), full="assumed" in job.include)),
        "boxes": list(boxes_plain(boxes, full="assumed" in job.include)),
        "judged": judged_of_job(good),
        "cautions": cautions_plain(good, full="cautions" in job.include),
        "box_cautions": box_cautions_plain(read),
        "assumed": assumed_plain(job.assumed, told_by=job.told_by),
        **read_as_plain(job.read_as),
        **assumed,
        "rulesets": {"code": job.code, "amendments": list(job.amendments), "digest": digest},
        "catalogue": {**catalogue.named(), "digest": catalogue.digest},
    }


def _address(
    job: Job,
    decided: Sequence[tuple[JobEntry, Decision | None]],
    boxes: Sequence[Filled],
    assumed: Plain,
    digests: list[str],
) -> str:
    """Give the content address: of everything that decides the answer but the job's id.

    `assumed` is what was assumed in joints and boxes, as the answer tells it of them all together.
    """
    readings = {id(entry.reading): entry.reading for entry, _ in decided}
    # As text in the text, written once for joints that say the same.
    canonical = {of: orjson.Fragment(orjson.dumps(one.canonical.decode())) for of, one in readings.items()}
    content = {
        "job": [job.code, job.amendments, job.catalogue, job.split_overfilled, sorted(job.include), VERSION],
        "stock": None if job.stock is None else [asdict(job.stock), solver_version()],
        "assumed": assumed,
        "joints": [
            [
                entry.name,
                entry.quantity,
                canonical[id(entry.reading)],
                [asdict(tail) for tail in entry.reading.tails],
                [asdict(error) for error in entry.errors],
                *([entry.reading.proposed["proposal"]] if entry.reading.proposed else []),
            ]
            for entry, _ in decided
        ],
        "boxes": [
            [
                box.name,
                box.quantity,
                {key: value for key, value in box.answer.items() if key not in ("id", "joints", "assumed")},
                [asdict(tail) for tail in box.tails],
                [asdict(error) for error in box.errors],
            ]
            for box in boxes
        ],
        "digests": digests,
    }
    return "sha256:" + hashlib.sha256(orjson.dumps(content, option=orjson.OPT_SORT_KEYS)).hexdigest()
