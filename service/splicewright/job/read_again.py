"""A job's joints and boxes as they were read, for who is to tell more of each than the job's answer does."""

from __future__ import annotations

from typing import Any, NamedTuple

from splicewright.answering import Chooser
from splicewright.job.boxes import fill_boxes
from splicewright.job.entries import Names, read_joints
from splicewright.job.errors import JobErrors
from splicewright.job.evaluation import Decider
from splicewright.job.model import Filled, JobEntry
from splicewright.job.read import read_job
from splicewright.work import Budget


class ReadAgain(NamedTuple):
    """The joints outside boxes, the boxes with theirs, and who answers for the catalogue that the job has."""

    joints: list[JobEntry]
    boxes: list[Filled]
    chooser: Chooser


def read_again(given: Any, chooser: Chooser) -> ReadAgain:
    """Read a job that was answered. Raises `Refused` as answering it did."""
    budget = Budget()
    asking, given = chooser.with_own_catalogue(given, budget)
    job = read_job(given, asking.holding.unsaid)
    names, wrong = Names(), JobErrors()
    joints = list(read_joints(job, names, wrong, budget))
    boxes = list(fill_boxes(job, names, Decider(asking, budget, splitting=False), wrong))
    return ReadAgain(joints, boxes, asking)
