"""Ask through the whole package that `openapi-generator-cli` made: its calls, its models, its own errors.

It prints what it saw, one JSON object a line, and ends with an error where a model does not take an answer whole.
"""

from __future__ import annotations

import json
import sys
from pathlib import Path
from typing import Any

import jsonpatch
import splicewright_package as p
from splicewright_package.exceptions import UnprocessableEntityException

api = p.DecidingApi(p.ApiClient(p.Configuration(host=sys.argv[1])))


def whole(answered: p.ApiResponse[Any]) -> Any:
    """Give an answer out of the choices that it stands in. Raises ValueError where the models lost something of it."""
    data = answered.data
    if plain(data) != json.loads(answered.raw_data):
        raise ValueError(f"{type(data).__name__} lost something of {answered.raw_data!r}")
    return inner(data)


def plain(model: Any) -> Any:
    """Write a model as JSON."""
    return [plain(one) for one in model] if isinstance(model, list) else json.loads(model.to_json())


def inner(model: Any) -> Any:
    """Give what stands in a choice."""
    return inner(model.actual_instance) if hasattr(model, "actual_instance") else model


def told(model: Any) -> str:
    """Tell the outcome of an answer, or the verdict of a check."""
    found = inner(model)
    return str(found.verdict if hasattr(found, "verdict") else found.outcome)


def choose(question: p.Question) -> Any:
    """Ask about a joint."""
    return whole(api.choose_with_http_info(question))


def show(name: str, **seen: Any) -> None:
    """Print what was seen."""
    print(json.dumps({"name": name, **seen}))


def joint(size: str = "12 AWG", count: int = 2) -> p.Joint:
    """Make a joint of like conductors."""
    return p.Joint(conductors=[p.Conductor(size=size, count=count)])


brief = choose(p.Question(joint=joint(), explain=p.Explain.BRIEF))
assert isinstance(brief, p.OptionsAnswer)
show("brief", best=brief.options[0].connector, demands=brief.demands is not None)

included = choose(p.Question(joint=joint(), include=[p.Include.DEMANDS, p.Include.MAKE_UP]))
assert isinstance(included, p.OptionsAnswer)
first = included.options[0].make_up[0].phase
show("included", demands=len(included.demands) == included.counts.demands, first=first.value)

hidden = p.Question(joint=joint(), place=p.Place(reach=p.Reach.CONCEALED), explain=p.Explain.BRIEF)
barred = choose(hidden)
assert isinstance(barred, p.BarredAnswer)
remedy = inner(barred.remedies[0])
assert isinstance(remedy, p.AlterRemedy)
patch = plain(remedy.patch)
again = choose(p.Question.from_dict(jsonpatch.apply_patch(plain(hidden), patch)))
assert isinstance(again, p.OptionsAnswer)
best = again.options[0].connector
show("barred", rule=barred.bars[0].rule, patch=patch, best=best, as_told=best == remedy.best.connector)

strip = p.Strip(value=30, unit=p.StripUnit.MM)
proposal = p.Proposal(connector="twist-on-medium", strip=strip, tugged=True)
verdict = whole(api.check_with_http_info(p.Check(joint=joint(), proposal=proposal)))
assert isinstance(verdict, p.UnsoundCheck)
show("check", at=verdict.violations[0].at, asks=[one.asks for one in verdict.unproven])

in_box = [
    p.BoxQuestion(joint=joint("14 AWG", 3)),
    p.BoxQuestion(joint=joint("14 AWG", 3), catalogue="nowhere"),
]
box = p.Box(name=p.StandardBox("4 x 1-1/2 square"))
filling = p.BoxFill(box=box, wires=[p.Wire(size="14 AWG", count=6)], joints=in_box)
filled = whole(api.fill_box_with_http_info(filling))
show("box", fits=filled.fits, required=filled.required.in3, joints=[told(one) for one in filled.joints])

lines = [
    p.JobJoint(id="lights", quantity=6, joint=joint("12 AWG", 3)),
    p.JobJoint(joint=joint(), place=p.LaidPlace(reach=p.Reach.CONCEALED)),
]
job = whole(api.plan_job_with_http_info(p.Job(joints=lines, stock=p.Stock(carry=["lever-3-port"]))))
takeoff = [[one.connector, one.count] for one in job.takeoff]
show("job", takeoff=takeoff, made=job.stock_plan.counts.made, problems=[told(one) for one in job.problems])

many = [
    p.Question(joint=joint(), explain=p.Explain.BRIEF),
    p.Check(joint=joint(), proposal=proposal, explain=p.Explain.BRIEF),
    p.Question(joint=joint(), catalogue="nowhere"),
]
answers = whole(api.batch_with_http_info([p.BatchQuestion(one) for one in many]))
show("batch", told=[told(one) for one in answers])

try:
    choose(p.Question(joint=joint(), catalogue="nowhere"))
except UnprocessableEntityException as refused:
    problem = refused.data
    errors = [[one.pointer, one.code.value] for one in problem.errors]
    show("refused", status=problem.status, code=problem.code.value, errors=errors)

examples = json.loads(Path("examples.json").read_bytes())
show("examples", taken=[plain(getattr(p, name).from_dict(value)) for name, value in examples])
