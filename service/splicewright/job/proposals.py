"""What is proposed for a joint of a job, judged as a check of its own would be."""

from __future__ import annotations

from splicewright.answering import Chooser
from splicewright.inspection import check_splice
from splicewright.job.errors import JobErrors
from splicewright.job.model import JobEntry, Plain, Reading
from splicewright.refusals import Refused
from splicewright.work import PROPOSAL, Budget

_TOLD = ("verdict", "violations", "unproven")


class Proposals:
    """Judges what is proposed for joints; what is proposed for joints that say the same is judged once."""

    def __init__(self, chooser: Chooser, wrong: JobErrors, budget: Budget) -> None:
        self._chooser, self._wrong, self._budget = chooser, wrong, budget
        self._known: dict[int, tuple[Reading, Plain | Refused]] = {}

    def judged(self, entry: JobEntry) -> JobEntry:
        """Give a joint with the check of its proposal, or with what is wrong with that; else as it is."""
        proposed = entry.reading.proposed
        if proposed is None or entry.errors:
            return entry
        if id(entry.reading) not in self._known:
            self._budget.lasts(PROPOSAL)  # here alone: the joint is counted where it is decided
            self._known[id(entry.reading)] = (entry.reading, self._judge(proposed))
            if isinstance(self._known[id(entry.reading)][1], Refused):
                self._wrong.another(entry.pointer)
        _, found = self._known[id(entry.reading)]
        if isinstance(found, Refused):
            return entry._replace(errors=self._wrong.told(entry.pointer, found.problems))
        return entry._replace(check=_moved(found, entry.pointer))

    def _judge(self, proposed: Plain) -> Plain | Refused:
        try:
            checked = check_splice(proposed, self._chooser, explain="brief")
        except Refused as error:
            return error
        proposed = {key: checked["proposed"][key] for key in ("connector", "method") if key in checked["proposed"]}
        return {**{key: checked[key] for key in _TOLD}, "proposed": proposed}


def _moved(check: Plain, pointer: str) -> Plain:
    """Let pointers into the joint lead into the job."""
    points = {key: [_point(point, pointer) for point in check[key]] for key in ("violations", "unproven")}
    return {**check, **points}


def _point(point: Plain, pointer: str) -> Plain:
    found = dict(point)
    if "at" in point:
        found["at"] = [pointer + at for at in point["at"]]
    if "asks" in point:
        found["asks"] = pointer + point["asks"]
    return found
