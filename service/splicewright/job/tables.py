"""A job from tables of joints: each row's joint with its quantity, and the boxes that its column `box` names."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any

from splicewright.job.model import Plain
from splicewright.refusals import shown
from splicewright.sheets.joints import CellFault, SheetJoint, faults_beside, read_headings, read_joints
from splicewright.sheets.table import Grid, Spot

_OF_THE_JOB = ("code", "catalogue")
_JOINTS, _BOXES = "joints", "boxes"
_OF_A_WIRE = ("size", "role", "path")


@dataclass
class TableJob:
    """A job as plain data, where each part of it stands, and what is wrong with its cells: then nothing is decided."""

    value: Plain
    joints: list[SheetJoint] = field(default_factory=list)
    faults: list[CellFault] = field(default_factory=list)
    _in_boxes: dict[str, list[int]] = field(default_factory=dict)  # the places of each box's joints

    def spot(self, pointer: str) -> Spot | None:
        """Give the cell of the part at a JSON Pointer into the job; None for what no table says."""
        _, part, number, *inner = f"{pointer}//".split("/")
        if not self.joints or part not in (_JOINTS, _BOXES) or not number.isdecimal():
            return None
        if part == _BOXES:
            at = list(self._in_boxes.values())[int(number)][0]
            return self.joints[at].spot("/box")
        return self.joints[int(number)].spot("/".join(["", *inner]).rstrip("/"))

    def add(self, joint: SheetJoint) -> None:
        """Take a joint in."""
        said = {key: value for key, value in joint.value.items() if key != "waive"}
        for key in _OF_THE_JOB:
            if key in said and self.value.setdefault(key, said[key]) != said.pop(key):
                says = f"{shown(joint.value[key])} differs from an earlier row; it is one for the whole job"
                self.faults.append(CellFault(joint.spot(f"/{key}"), says, f"/{key}"))
        box = said.pop("box", None)
        if box is not None:
            self._in_boxes.setdefault(box, []).append(len(self.joints))
        self.joints.append(joint)
        self.faults += joint.faults
        self.value.setdefault(_JOINTS, []).append(said)

    def close(self) -> None:
        """Reckon the boxes: their wires are the conductors of their joints, each of which enters from outside."""
        if self._in_boxes:
            boxes = [{"id": box, "wires": self._wires(places)} for box, places in self._in_boxes.items()]
            self.value[_BOXES] = [*self.value.get(_BOXES, ()), *boxes]

    def _wires(self, places: Iterable[int]) -> list[Plain]:
        counts: dict[tuple[Any, ...], int] = {}
        for at in places:
            joint = self.value[_JOINTS][at]
            for conductor in joint["joint"]["conductors"]:
                key = tuple(conductor.get(word) for word in _OF_A_WIRE)
                counts[key] = counts.get(key, 0) + conductor.get("count", 1) * joint.get("quantity", 1)
        return [
            {**{word: said for word, said in zip(_OF_A_WIRE, key, strict=True) if said is not None}, "count": count}
            for key, count in counts.items()
        ]


def job_of_tables(
    grids: Iterable[Grid], mapped: Mapping[str, str] | None = None, beside: Mapping[str, Any] | None = None
) -> TableJob:
    """Read a job out of the tables of joints among `grids`.

    `mapped` gives for headings of the user's own the columns that they are; `beside` is what no table says: defaults,
    stock and the like of a job.
    """
    found = TableJob(dict(beside or {}))
    for grid in grids:
        headings = read_headings(grid, mapped)
        if not headings.of_joints:
            continue
        found.faults += [*headings.faults, *faults_beside(grid)]
        for joint in read_joints(grid, headings):
            found.add(joint)
    found.close()
    return found


def grids_of(job: TableJob) -> Iterator[tuple[Grid, list[int]]]:
    """Give each table that a job was read from, with the places of its joints in the job."""
    places: dict[int, tuple[Grid, list[int]]] = {}
    for at, joint in enumerate(job.joints):
        places.setdefault(id(joint.grid), (joint.grid, []))[1].append(at)
    yield from places.values()
