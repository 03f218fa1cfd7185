"""The process in which a trial runs: with bounded memory and time, no file to write, nothing of the environment."""

from __future__ import annotations

import resource
import sys
from dataclasses import replace
from pathlib import Path
from typing import Any

import orjson

from splicewright.faults import Fault, Faults
from splicewright.impact.boxes import boxes_in, boxes_sent
from splicewright.operate.reloading import copied_amendments, copied_project
from splicewright.operate.rule_compiling import teller
from splicewright.project.finding import FILE
from splicewright.project.reading import Project, read_project
from splicewright.refusals import Problem, Refused, Says
from splicewright.rulebook.amendment_files import AmendmentText
from splicewright.shelf.joints import work_in, work_sent
from splicewright.trials.trial import Trial, run_trial

PROCESSOR_S = 20
_MEMORY = 1 << 30
_LONGEST_ANSWER = 5_000_000


def main() -> None:
    """Read a trial from standard input; write the ids of rules as they are compiled, then what came of it."""
    resource.setrlimit(resource.RLIMIT_DATA, (_MEMORY, _MEMORY))
    resource.setrlimit(resource.RLIMIT_CPU, (PROCESSOR_S, PROCESSOR_S + 1))
    resource.setrlimit(resource.RLIMIT_FSIZE, (0, 0))
    out = sys.stdout.buffer
    told = orjson.dumps(_tried(orjson.loads(sys.stdin.buffer.read()), teller(out)))
    if len(told) > _LONGEST_ANSWER:
        says = "changes so much that the answer is too long; try fewer joints"
        told = orjson.dumps({"refused": [Problem("", says).to_dict()]})
    out.write(told + b"\n")


def _tried(asked: dict[str, Any], tell: Any) -> dict[str, Any]:
    try:
        tried = run_trial(_trial(asked), tell)
    except Refused as error:
        return {"refused": [problem.to_dict() for problem in error.problems]}
    except Faults as error:
        return {"faults": [_fault(fault) for fault in error.faults]}
    return {"faults": [_fault(fault) for fault in tried.faults], "told": tried.told}


def _trial(asked: dict[str, Any]) -> Trial:
    rulesets = Path(asked["rulesets"])
    project = copied_project(rulesets)  # of a service: what is the project's own stands in the folder already
    if project is None and asked["project"]:
        project = read_project(asked["project"])
    if laid := {one["name"]: AmendmentText(one["name"], one["file"], one["text"].encode()) for one in asked["laid"]}:
        project = project or Project(file=Path(FILE), text="")
        others = (text for text in project.own_amendments if text.name not in laid)
        project = replace(project, own_amendments=(*others, *laid.values()))
    joints, boxes = _put(asked)
    files = tuple(AmendmentText(Path(one["name"]).stem, one["name"], one["text"].encode()) for one in asked["files"])
    return Trial(
        rulesets,
        project,
        asked["code"],
        tuple(asked["amendments"]),
        asked["catalogue"],
        files,
        copied_amendments(rulesets),
        joints,
        boxes,
    )


def _put(asked: dict[str, Any]) -> tuple[Any, Any]:
    if asked["paths"]:
        return work_in(asked["paths"]), list(boxes_in(asked["paths"]))
    sent = [(f"/questions/{at}", one) for at, one in enumerate(asked["questions"])]
    sent += [("/job", asked["job"])] if asked["job"] else []
    return (work_sent(sent), list(boxes_sent(sent))) if sent else ([], [])


def _fault(fault: Fault) -> dict[str, Any]:
    told = {"file": fault.file, "line": fault.line, "part": fault.part, "says": str(fault.says)}
    nearest = fault.says.nearest if isinstance(fault.says, Says) else None
    return {**told, "write": nearest} if nearest else told


if __name__ == "__main__":
    main()
