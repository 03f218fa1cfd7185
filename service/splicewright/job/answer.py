"""A job in, its answer out."""

from __future__ import annotations

import hashlib
import itertools
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
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
    amended_in_job,
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
from splicewright.job.read import read_job, with_stock_of
from splicewright.job.shelf_figures import shelf_in_all, with_shelf
from splicewright.job.solver import solver_version
from splicewright.job.stock import wanted
from splicewright.job.takeoff import (
    Made,
    TakeoffLine,
    first_choices,
    line_plain,
    made_joints,
    planned_uses,
    tails_plain,
    take_off,
)
from splicewright.question.read import assumed_plain
from splicewright.question.read_as import read_as_plain
from splicewright.rulebook.examples import example_question
from splicewright.version import VERSION
from splicewright.work import WORK_OF_A_PIECE, Budget

Write = Callable[[Iterator[Plain]], list[Any]]
_NO_CONTENT = ("id", "joints", "assumed", "amended", "rulesets")  # of a box, in what the answer is known by
_TOGETHER = 100  # joints, problems or boxes that are written as one text


def plan_job(given: Any, chooser: Chooser | None = None, budget: Budget | None = None) -> Plain:
    """Decide the joints of a job, take off what it needs and plan the stock: the shape of POST /v1/jobs.

    The shape of the answer is described in `api/shapes/jobs.py` and printed in `openapi/openapi.yaml`: problems first,
    then counts, takeoff, stock plan, and each joint and box.

    A name is an id or, without one, a pointer; of a joint in a box `<name of the box>/<id or place>`. The work that a
    plan may take is counted (`stock.effort`); where it is used up, what was found is told with `proven_optimal` false.

    Raises `Refused` with every problem where the job as a whole is not valid, or where it asks for more than `budget`
    has; by default that bounds remedies only.
    """
    return _planned(given, chooser or chooser_here(), budget or Budget(), list)


def job_json(given: Any, chooser: Chooser, budget: Budget) -> bytes:
    """Give what `plan_job` gives as JSON text, with less memory. Raises what it raises."""

    def written(each: Iterator[Plain]) -> list[orjson.Fragment]:
        found = []
        while some := list(itertools.islice(each, _TOGETHER)):
            found.append(orjson.Fragment(budget.wrote(orjson.dumps(some)[1:-1], some[0]["pointer"])))
        return found

    return orjson.dumps(_planned(given, chooser, budget, written))


def _planned(given: Any, chooser: Chooser, budget: Budget, write: Write) -> Plain:
    chooser, given = chooser.with_own_catalogue(given, budget)
    job = read_job(given, chooser.holding.unsaid)
    with full_collections_put_off():
        return _answered(job, chooser, budget, write)


def _answered(job: Job, chooser: Chooser, budget: Budget, write: Write) -> Plain:
    # Of the same rules and catalogue to the end, whatever is reloaded meanwhile.
    asking = copy(chooser)
    job = _checked(job, asking)
    names, wrong = Names(), JobErrors()
    decider = Decider(asking, budget, splitting=job.split_overfilled)
    proposals = Proposals(asking, wrong, budget)
    joints = map(proposals.judged, read_joints(job, names, wrong, budget))
    decided = [(entry, _decision(entry, decider)) for entry in joints]
    boxes = list(fill_boxes(job, names, decider, wrong))
    decided += [(entry, _decision(entry, decider)) for box in boxes for entry in box.entries]
    decided = [(entry, decision and _with_remedies(entry, decider)) for entry, decision in decided]
    good = [(entry, decision) for entry, decision in decided if decision is not None]
    made = list(made_joints(good))
    work = _plan_work(job.stock, budget)
    planned = _plan(made, job.stock, work, budget)
    uses = planned_uses(made, planned) if planned else first_choices(made)
    return _answer(job, asking, decided, good, boxes, made, planned, uses, work, write)


def _checked(job: Job, chooser: Chooser) -> Job:
    """Give a job that names no catalogue or connector that is not known here. Raises `Refused`."""
    catalogue = chooser.catalogue(job.catalogue)
    if job.only:
        plain = example_question({"only": job.only}, job.code).question
        chooser.holding.match(replace(plain, catalogue=job.catalogue))
    return with_stock_of(job, catalogue.connectors)


def _decision(entry: JobEntry, decider: Decider) -> Decision | None:
    if entry.errors or entry.reading.asked is None:
        return None
    found = decider.decide(entry.reading.asked, entry.reading.canonical)
    decider.budget.count(0, entry.pointer)
    return found


def _with_remedies(entry: JobEntry, decider: Decider) -> Decision:
    assert entry.reading.asked is not None
    return decider.with_remedies(entry.reading.asked, entry.reading.canonical)


def _plan_work(stock: Stock | None, budget: Budget) -> int:
    """Give how much work the plan may take: what its effort allows, or what the call has left."""
    return 0 if stock is None else int(min(stock.effort * WORK, budget.left * WORK_OF_A_PIECE))


def _plan(made: Sequence[Made], stock: Stock | None, work: int, budget: Budget) -> Planned | None:
    if stock is None:
        return None
    given = wanted(((one.ranked, one.count) for one in made), stock)
    return plan_stock(given, stock.aim, work, budget.watch)


def _answer(
    job: Job,
    chooser: Chooser,
    decided: list[tuple[JobEntry, Decision | None]],
    good: list[tuple[JobEntry, Decision]],
    boxes: list[Filled],
    made: list[Made],
    planned: Planned | None,
    uses: list[tuple[Use, ...]],
    work: int,
    write: Write,
) -> Plain:
    digest = chooser.holding.rules(job.code, job.amendments).rulebook.digest
    catalogue = chooser.catalogue(job.catalogue)
    numbers = itertools.count()
    problems = write(one for one, _ in zip(problems_plain(decided, boxes, planned), numbers, strict=False))
    problem_count = next(numbers)
    lines = take_off(uses, job.stock)
    takeoff = [_line_plain(line, catalogue.connector(line.connector).facts) for line in lines]
    read = [box for box in boxes if not box.errors]
    assumed = {
        "assumed_in_joints": assumed_in(
            "joint_count", ((entry.reading.assumed, entry.quantity or 0) for entry, _ in good)
        ),
        "assumed_in_boxes": assumed_in("box_count", ((box.assumed, box.quantity or 0) for box in read)),
    }
    written: Plain = {} if job.id is None else {"id": job.id}
    written |= {
        "answer": _address(job, decided, boxes, assumed, [digest, catalogue.digest], work),
        "problems": problems,
        "counts": {
            "joints": sum(entry.quantity or 0 for entry, _ in decided),
            "made": sum(entry.quantity or 0 for entry, decision in good if decision.made),
            "problems": problem_count,
        },
        "takeoff": takeoff,
        "shelf": shelf_in_all(takeoff),
    }
    if job.stock and job.stock.prices:
        written["cost"] = money(sum(line.bought.cost or 0 for line in lines))
        written["unpriced"] = [line.connector for line in lines if line.bought.cost is None]
    written["pigtails_and_jumpers"] = tails_plain(good, read, job.code)
    if planned and job.stock:
        names = {connector.id: connector.name for connector in catalogue.connectors}
        written["stock_plan"] = StockPlanJson(planned, job.stock, made, names).to_dict()
        if work < job.stock.effort * WORK:
            written["stock_plan"]["effort_allowed"] = round(work / WORK, 2)
    return written | {
        "joints": write(joints_plain(decided, iter(uses), full="assumed" in job.include)),
        "boxes": write(boxes_plain(boxes, full="assumed" in job.include)),
        "judged": judged_of_job(good),
        "cautions": cautions_plain(good, full="cautions" in job.include),
        "box_cautions": box_cautions_plain(read),
        "assumed": assumed_plain(job.assumed, told_by=job.told_by),
        **read_as_plain(job.read_as),
        **assumed,
        **({"amended": amended_in_job(good)} if job.amendments else {}),
        "rulesets": {"code": job.code, "amendments": list(job.amendments), "digest": digest},
        "catalogue": {**catalogue.named(), "digest": catalogue.digest},
    }


def _line_plain(line: TakeoffLine, facts: Mapping[str, Any]) -> Plain:
    return with_shelf(line_plain(line, facts.get("source")), facts)


def _address(
    job: Job,
    decided: Sequence[tuple[JobEntry, Decision | None]],
    boxes: Sequence[Filled],
    assumed: Plain,
    digests: list[str],
    work: int,
) -> str:
    """Give the content address: of everything that decides the answer but the job's id.

    `assumed` is what was assumed in joints and boxes, as the answer tells it of them all together.
    """
    readings = {id(entry.reading): entry.reading for entry, _ in decided}
    # As text in the text, written once for joints that say the same.
    canonical = {of: orjson.Fragment(orjson.dumps(one.canonical.decode())) for of, one in readings.items()}
    content: dict[str, Iterable[Any]] = {
        "job": (job.code, job.amendments, job.catalogue, job.split_overfilled, sorted(job.include), VERSION),
        "stock": () if job.stock is None else (asdict(job.stock), work, solver_version()),
        "assumed": (assumed,),
        "joints": (
            [
                entry.name,
                entry.quantity,
                canonical[id(entry.reading)],
                [asdict(tail) for tail in entry.reading.tails],
                [asdict(error) for error in entry.errors],
                *([entry.reading.proposed["proposal"]] if entry.reading.proposed else []),
            ]
            for entry, _ in decided
        ),
        "boxes": (
            [
                box.name,
                box.quantity,
                {key: value for key, value in box.answer.items() if key not in _NO_CONTENT},
                [asdict(tail) for tail in box.tails],
                [asdict(error) for error in box.errors],
            ]
            for box in boxes
        ),
        "digests": digests,
    }
    digest = hashlib.sha256()
    for key in sorted(content):  # joint by joint: all of them as one text would take as much memory as the job
        digest.update(key.encode() + b"\n")
        for part in content[key]:
            digest.update(orjson.dumps(part, option=orjson.OPT_SORT_KEYS) + b"\n")
    return "sha256:" + digest.hexdigest()
