"""The boxes of files, and how their fill differs by two code editions."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from splicewright.audit.entries import AuditEntry, NotOurs, read_entries
from splicewright.audit.files import find_files
from splicewright.audit.kinds import kind_of
from splicewright.box.answer import fill_box
from splicewright.impact.changes import StackChange
from splicewright.job.entries import HEAD, box_defaults
from splicewright.job.read import read_job
from splicewright.json_pointer import join
from splicewright.question.given import laid_under
from splicewright.question.read import UNSAID, Unsaid
from splicewright.refusals import Refused
from splicewright.sheets.table import Spot
from splicewright.shelf.recognizing import catalogue_tables

#: What a box of a job lays under its joints, and what its fill does not rest on.
_NOT_OF_FILL = ("joints", "amendments", "catalogue", "only", "tags", "waive", "code", "id", *HEAD)
BOX_FILL = StackChange("table", name="box-fill", about="how the allowances of a box are counted")


@dataclass(frozen=True, slots=True)
class FilledBox:
    """A box as it was sent, without its joints."""

    name: str
    count: int
    at: str  # file:line
    given: Mapping[str, Any]


@dataclass(frozen=True, slots=True)
class BoxDifference:
    """What is told otherwise of a box: pairs of what was and is, None where there is none."""

    box: FilledBox
    required: tuple[Any, Any]
    fits: tuple[Any, Any]
    allowances: tuple[tuple[str, Any, Any], ...]

    @property
    def decided(self) -> bool:
        """Whether it is told otherwise if the box is large enough."""
        return bool(self.fits[0] != self.fits[1])

    def to_dict(self) -> dict[str, Any]:
        """Give it as JSON has it."""
        return {
            "id": self.box.name,
            "quantity": self.box.count,
            "at": self.box.at,
            "required": dict(zip(("was", "is"), self.required, strict=True)),
            "fits": dict(zip(("was", "is"), self.fits, strict=True)),
            "allowances": [{"for": what, "was": was, "is": now} for what, was, now in self.allowances],
        }


def boxes_in(
    paths: Iterable[str], unsaid: Unsaid = UNSAID, columns: Mapping[str, str] | None = None
) -> Iterator[FilledBox]:
    """Give every box of these files and folders. What can't be read is passed over: who reads joints tells of it."""
    for source in find_files(paths):
        try:
            entries = read_entries(source, columns, catalogue_tables)
        except NotOurs:
            continue
        for entry in entries:
            for name, count, pointer, given in _boxes(entry, unsaid):
                yield FilledBox(name, count, f"{source.name}:{entry.spot(pointer).line}", _of_fill(given))


def boxes_sent(sent: Iterable[tuple[str, Any]], unsaid: Unsaid = UNSAID) -> Iterator[FilledBox]:
    """Give every box of what stands at pointers of what was sent; what can't be read is passed over."""
    for pointer, value in sent:
        for name, count, within, given in _boxes(AuditEntry(kind_of(value), value, 1, lambda _: Spot(1)), unsaid):
            yield FilledBox(name, count, pointer + within, _of_fill(given))


def _of_fill(given: Mapping[str, Any]) -> dict[str, Any]:
    return {key: value for key, value in given.items() if key not in _NOT_OF_FILL}


def _boxes(entry: AuditEntry, unsaid: Unsaid) -> Iterator[tuple[str, int, str, Mapping[str, Any]]]:
    value = entry.value
    if entry.kind == "box":
        yield value.get("id") or f"entry {entry.number}", 1, "", value
    if entry.kind != "job":
        return
    try:
        job = read_job({key: one for key, one in value.items() if key not in ("waive", "catalogue")}, unsaid)
    except Refused:
        return
    for at, box in enumerate(job.boxes):
        if isinstance(box, Mapping):
            laid = laid_under(box, box_defaults(job.defaults, box))[0]
            yield box.get("id") or join("/boxes", at), box.get("quantity", 1), join("/boxes", at), laid


def box_difference(box: FilledBox, old: str, new: str) -> BoxDifference | None:
    """Reckon a box by two code editions; None where both tell the same, or it is no valid box."""
    try:
        was, now = (fill_box({**box.given, "code": code}) for code in (old, new))
    except Refused:
        return None
    before, after = ({one["for"]: _counted(one) for one in told["allowances"]} for told in (was, now))
    differing = tuple(
        (what, before.get(what), after.get(what)) for what in {**before, **after} if before.get(what) != after.get(what)
    )
    pairs = [(was[key], now[key]) for key in ("required", "fits")]
    if not differing and all(one == other for one, other in pairs):
        return None
    return BoxDifference(box, pairs[0], pairs[1], differing)


def _counted(allowance: Mapping[str, Any]) -> dict[str, Any]:
    return {"count": allowance["count"], "total": allowance["total"]}
