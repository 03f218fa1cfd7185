"""Ask with plain HTTP, through models that `datamodel-codegen` made: each question and each answer is validated.

It prints what it saw, one JSON object a line, and ends with an error where a model does not take an answer whole.
"""

from __future__ import annotations

import json
import sys
from pathlib import Path
from typing import Any

import httpx
import jsonpatch
import splicewright_models as m
from pydantic import BaseModel, RootModel

http = httpx.Client(base_url=sys.argv[1])


def plain(model: BaseModel) -> Any:
    """Write a model as JSON, with nothing that was not said."""
    return model.model_dump(mode="json", by_alias=True, exclude_unset=True)


def ask(address: str, question: Any, form: type[BaseModel]) -> Any:
    """Send a question, and read the answer by its model, strictly; nothing of it may be lost."""
    answered = http.post(address, json=question)
    found = form.model_validate_json(answered.content, strict=True)
    if plain(found) != answered.json():
        raise ValueError(f"{form.__name__} lost something of {answered.text}")
    return found.root if hasattr(found, "root") else found


def choose(question: m.Question) -> Any:
    """Ask about a joint."""
    return ask("/v1/choices", plain(question), m.Answer)


def show(name: str, **seen: Any) -> None:
    """Print what was seen."""
    print(json.dumps({"name": name, **seen}))


def told(answer: Any) -> str:
    """Tell the outcome of an answer, or the verdict of a check, out of the choices that it stands in."""
    while isinstance(answer, RootModel):
        answer = answer.root
    return str(answer.verdict if hasattr(answer, "verdict") else answer.outcome)


def joint(size: str = "12 AWG", count: int = 2) -> m.Joint:
    """Make a joint of like conductors."""
    return m.Joint(conductors=[m.Conductor(size=size, count=count)])


brief = choose(m.Question(joint=joint(), explain=m.Explain.brief))
assert isinstance(brief, m.OptionsAnswer)
show("brief", best=brief.options[0].connector, demands=brief.demands is not None)

included = choose(m.Question(joint=joint(), include=[m.Include.demands, m.Include.make_up]))
assert isinstance(included, m.OptionsAnswer)
first = included.options[0].make_up[0].phase
show("included", demands=len(included.demands) == included.counts.demands, first=first.value)

hidden = m.Question(joint=joint(), place=m.Place(reach=m.Reach.concealed), explain=m.Explain.brief)
barred = choose(hidden)
assert isinstance(barred, m.BarredAnswer)
remedy = barred.remedies[0].root
assert isinstance(remedy, m.AlterRemedy)
patch = [plain(one) for one in remedy.patch]
again = choose(m.Question.model_validate(jsonpatch.apply_patch(plain(hidden), patch)))
assert isinstance(again, m.OptionsAnswer)
best = again.options[0].connector
show("barred", rule=barred.bars[0].rule, patch=patch, best=best, as_told=best == remedy.best.connector)

strip = m.Strip(value=30, unit=m.StripUnit.mm)
proposal = m.Proposal(connector="twist-on-medium", strip=strip, tugged=True)
verdict = ask("/v1/checks", plain(m.Check(joint=joint(), proposal=proposal)), m.CheckAnswer)
assert isinstance(verdict, m.UnsoundCheck)
show("check", at=verdict.violations[0].at, asks=[one.asks for one in verdict.unproven])

in_box = [
    m.BoxQuestion(joint=joint("14 AWG", 3)),
    m.BoxQuestion(joint=joint("14 AWG", 3), catalogue="nowhere"),
]
box = m.Box(name=m.StandardBox("4 x 1-1/2 square"))
filling = m.BoxFill(box=box, wires=[m.Wire(size="14 AWG", count=6)], joints=in_box)
filled = ask("/v1/boxes", plain(filling), m.BoxFillAnswer)
show("box", fits=filled.fits, required=filled.required.in3, joints=[told(one) for one in filled.joints])

lines = [
    m.JobJoint(id="lights", quantity=6, joint=joint("12 AWG", 3)),
    m.JobJoint(joint=joint(), place=m.LaidPlace(reach=m.Reach.concealed)),
]
job = ask("/v1/jobs", plain(m.Job(joints=lines, stock=m.Stock(carry=["lever-3-port"]))), m.JobAnswer)
show(
    "job",
    takeoff=[[one.connector, one.count] for one in job.takeoff],
    made=job.stock_plan.counts.made,
    problems=[one.root.outcome for one in job.problems],
)

many = [
    m.Question(joint=joint(), explain=m.Explain.brief),
    m.Check(joint=joint(), proposal=proposal, explain=m.Explain.brief),
    m.Question(joint=joint(), catalogue="nowhere"),
]
answers = ask("/v1/batches", [plain(one) for one in many], RootModel[list[m.BatchItem]])
show("batch", told=[told(one) for one in answers])

refused = ask("/v1/choices", plain(m.Question(joint=joint(), catalogue="nowhere")), m.Problem)
show(
    "refused",
    status=refused.status,
    code=refused.code.value,
    errors=[[one.pointer, one.code.value] for one in refused.errors],
)

examples = json.loads(Path("examples.json").read_bytes())
forms = [(getattr(m, name), json.dumps(value)) for name, value in examples]
show("examples", taken=[plain(form.model_validate_json(value, strict=True)) for form, value in forms])
