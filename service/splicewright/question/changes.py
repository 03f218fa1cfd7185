"""Small changes to a question, as the `remedies` of a rule write them: read once, applied to any question.

`{place: {enclosure: box}}` sets leaves of a part, `{conductor: {insulation: THWN-2}}` leaves of the conductors it is
applied to, and `{split: true}` offers to make the joint as several, tied by jumpers. `do` beside it says what a person
does on site to bring it about. What a conductor is for (its role, its circuit, its path) is no rule's to change.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any

from marshmallow import ValidationError, fields, validates_schema

from splicewright.question.leaf import leaves_of, schema_of
from splicewright.question.loads import made as is_made
from splicewright.question.measures import LEADS
from splicewright.question.model import Circuit, Conductor, Joint, Place, Question, Work, usual_volts
from splicewright.question.read import merged
from splicewright.question.schema import CircuitSchema, PlaceSchema, WorkSchema
from splicewright.strict_fields import Flag, Text
from splicewright.strict_schema import Strict, load, made_once
from splicewright.units import whole

_PARTS: Mapping[str, type] = {"joint": Joint, "place": Place, "circuit": Circuit, "work": Work}
#: What a conductor is for and how many there are is no rule's to change.
_KEPT = ("count", "circuit", "role", "path")
#: All that is changed of a lead of listed equipment; the rest is as its listing has it.
_OF_LEADS = ("end", "condition")


class _BareAlone(Strict):
    @validates_schema
    def _bare_alone(self, data: Mapping[str, Any], **_: Any) -> None:
        if "bare" in data.get("insulation", ()) and len(data["insulation"]) > 1:
            raise ValidationError("bare stands alone: a bare conductor has no insulation type", "insulation")


class _ChangeSchema(Strict):
    joint = fields.Nested(schema_of(Joint, without=("conductors",), required=False))
    conductor = fields.Nested(schema_of(Conductor, without=_KEPT, required=False, base=_BareAlone))
    place = fields.Nested(PlaceSchema)
    circuit = fields.Nested(CircuitSchema)
    work = fields.Nested(WorkSchema)
    split = Flag()
    do = Text(120)

    @validates_schema
    def _some_change(self, data: Mapping[str, Any], **_: Any) -> None:
        parts = {name: leaves for name, leaves in data.items() if name not in ("split", "do")}
        if "split" in data:
            if parts or not data["split"]:
                raise ValidationError(
                    "stands alone and is true: a joint that is split is not changed otherwise", "split"
                )
        elif not parts or not all(parts.values()):
            raise ValidationError("changes nothing; name a part and a leaf of it, such as {place: {enclosure: box}}")


@dataclass(frozen=True)
class Change:
    """One small change. `written` is its leaves by part, as an answer tells them; `leaves` their facts' names.

    `do` is what a person does for it on site, where that is said.
    """

    written: Mapping[str, Mapping[str, Any]]
    leaves: frozenset[str]
    split: bool
    _read: Mapping[str, Mapping[str, Any]]
    do: tuple[str, ...] = field(default=(), compare=False)

    @property
    def of_conductors(self) -> bool:
        """Whether it changes conductors, so that it matters to which it is applied."""
        return "conductor" in self._read

    def of(self, part: str) -> Mapping[str, Any]:
        """Give the leaves of a part that it sets, as a `Question` holds them."""
        return self._read.get(part, {})


def changed(question: Question, changes: Sequence[tuple[Change, Collection[int]]]) -> Question:
    """Give the question with changes, each with the places of the conductors that it is made to.

    Every other leaf stays as it was, given or assumed, but that volts not stated for a low-voltage kind become the
    usual ones where the kind is changed to another. A conductor is never made smaller, cover never less, an overcurrent
    device never larger, and wire never one that is not made: where the change would do that, it changes nothing.
    """
    parts: dict[str, Any] = {name: getattr(question, name) for name in _PARTS}
    for change, _ in changes:
        for name in _PARTS:
            if leaves := _onward(parts[name], change.of(name)):
                parts[name] = replace(parts[name], **leaves)
    circuit = parts["circuit"]
    if circuit.volts is None and (volts := usual_volts({"kind": circuit.kind, "source": circuit.source})) is not None:
        parts["circuit"] = replace(circuit, volts=volts)
    if any(change.of_conductors for change, _ in changes):
        parts["joint"] = replace(parts["joint"], conductors=merged(conductors_changed(question, changes)))
    return replace(question, **parts)


def conductors_changed(question: Question, changes: Sequence[tuple[Change, Collection[int]]]) -> list[Conductor]:
    """Give what each of the question's conductors becomes by such changes, in their places."""
    entering = list(question.joint.conductors)
    for change, conductors in changes:
        if leaves := change.of("conductor"):
            entering = [_altered(one, leaves) if at in conductors else one for at, one in enumerate(entering)]
    return entering


def _altered(conductor: Conductor, leaves: Mapping[str, Any]) -> Conductor:
    onward = _onward(conductor, leaves)
    if conductor.cable == LEADS:
        onward = {leaf: value for leaf, value in onward.items() if leaf in _OF_LEADS}
    altered = replace(conductor, **onward)
    return altered if is_made(altered) else conductor


def _onward(part: Any, leaves: Mapping[str, Any]) -> dict[str, Any]:
    """Give the leaves, those left out that would go the wrong way."""
    kept = dict(leaves)
    for leaf, is_better in _ONE_WAY.items():
        if leaf in kept and getattr(part, leaf) is not None and not is_better(kept[leaf], getattr(part, leaf)):
            del kept[leaf]
    return kept


#: For leaves that a remedy only ever moves one way: whether a new value lies that way from the old one.
_ONE_WAY: Mapping[str, Callable[[Any, Any], bool]] = {
    "size": lambda new, old: new > old,
    "depth": lambda new, old: whole(new.value, new.unit) > whole(old.value, old.unit),
    "overcurrent_amps": lambda new, old: new < old,
}


def read_change(written: Any) -> Change:
    """Read one change. Raises `Refused` with every problem."""
    found = load(made_once(_ChangeSchema), written)
    split, do = found.pop("split", False), found.pop("do", None)
    read = {part: _held(part, leaves) for part, leaves in found.items()}
    leaves = frozenset(f"{part}.{leaf}" for part, of_part in read.items() for leaf in of_part)
    parts = {part: written[part] for part in read}
    return Change(parts, leaves, split, read, () if do is None else (do,))


def _held(part: str, leaves: Mapping[str, Any]) -> Mapping[str, Any]:
    """Give the leaves of a part as a question holds them."""
    declared = leaves_of(Conductor if part == "conductor" else _PARTS[part])
    return {leaf: declared[leaf].field.held(value) for leaf, value in leaves.items()}
