"""Runs a trial in a process of its own, one at a time, and tells what brought it down where something did."""

from __future__ import annotations

import os
import subprocess
import sys
import threading
from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path
from typing import Any

import orjson

from splicewright.answering import Chooser
from splicewright.operate.rule_compiling import told_by_child
from splicewright.refusals import Problem, Refused
from splicewright.trials.child import PROCESSOR_S

PATIENCE_S = 30
COMMAND = (sys.executable, "-m", "splicewright.trials.child")
_ONE = threading.Lock()


class TrialBusy(RuntimeError):
    """Another trial is under way in this process."""


class TrialFaults(ValueError):
    """Files that are not as they should be. Each fault has `file`, `line`, `part`, `says`, and `write` where known."""

    def __init__(self, faults: Iterable[Mapping[str, Any]]) -> None:
        """Take the faults."""
        self.faults = tuple(faults)
        super().__init__(self.faults)


def try_files(asked: Mapping[str, Any], chooser: Chooser, paths: Sequence[str] = ()) -> dict[str, Any]:
    """Try files: the shape of POST /v1/trials, or with joints of `paths` in place of those sent.

    `laid` of what is asked has files of amendments beneath, each with `name`, `file` and `text`; no caller sends it.

    Raises `TrialFaults`, `Refused` for questions that are none, and `TrialBusy`.
    """
    if not _ONE.acquire(blocking=False):
        raise TrialBusy
    try:
        return _run(asked, chooser, paths)
    finally:
        _ONE.release()


def _run(asked: Mapping[str, Any], chooser: Chooser, paths: Sequence[str]) -> dict[str, Any]:
    project, unsaid = chooser.holding.project, chooser.holding.unsaid.values
    sent = orjson.dumps(
        {
            "rulesets": str(Path(chooser.rulesets).resolve()),
            "project": None if project is None or not project.file.is_file() else str(project.file.resolve()),
            "code": asked.get("code", unsaid["code"]),
            "amendments": asked.get("amendments", unsaid.get("amendments", [])),
            "catalogue": asked.get("catalogue", unsaid.get("catalogue")),
            "laid": asked.get("laid", []),
            "files": asked["files"],
            "questions": asked.get("questions", []),
            "job": asked.get("job"),
            "paths": list(paths),
        }
    )
    environment = {"PYTHONPATH": os.environ["PYTHONPATH"]} if "PYTHONPATH" in os.environ else {}
    try:
        ended = subprocess.run(  # noqa: S603 - ourselves
            COMMAND, input=sent, capture_output=True, timeout=PATIENCE_S, check=False, env=environment
        )
    except subprocess.TimeoutExpired as error:
        raise _brought_down(error.stdout or b"", f"took longer than {PATIENCE_S} s") from None
    line, _ = told_by_child(ended.stdout)
    if ended.returncode != 0 or line is None:
        raise _brought_down(ended.stdout, f"took more than {PROCESSOR_S} s of a processor, or brought it down")
    told: dict[str, Any] = orjson.loads(line)
    if "refused" in told:
        raise Refused(map(Problem.from_dict, told["refused"]))
    if told["faults"]:
        raise TrialFaults(tuple(told["faults"]))
    found: dict[str, Any] = told["told"]
    return found


def _brought_down(written: bytes, how: str) -> TrialFaults:
    _, part = told_by_child(written)
    when = f"while {part} was compiled, or after" if part else "while it was read"
    return TrialFaults(({"file": "", "line": 0, "part": part, "says": f"the process that tried it {how} {when}"},))
