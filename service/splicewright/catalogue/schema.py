"""What a catalogue file may hold: the one declaration that reads and refuses.

A connector's own attributes are those of `rulebook.attributes`, but for the ones that follow from what it
takes and from its outside dimensions: a new attribute there may be written here at once.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from functools import partial
from itertools import combinations
from typing import Any

from marshmallow import Schema, ValidationError, fields, validates_schema

from splicewright.catalogue.fields import (
    GROUPS,
    Cells,
    Day,
    Id,
    Outside,
    Quantity,
    TorqueValue,
    WrittenEntry,
    WrittenField,
)
from splicewright.catalogue.take_schema import SOME, OneOrSeveral, TakeSchema, check_range, few
from splicewright.question.fact_kinds import FactKind
from splicewright.question.vocabulary import MATERIAL, METHODS
from splicewright.refusals import Says
from splicewright.rulebook.attributes import ATTRIBUTES, OF_JOINT
from splicewright.strict_fields import Flag, Number, SizeField, Text, Word, Words
from splicewright.strict_fields import about as says
from splicewright.strict_schema import Strict

#: attributes that follow from the rest of the listing, or from the joint
DERIVED = (*GROUPS, "height", "largest", *OF_JOINT)
LISTED = tuple(name for name in ATTRIBUTES if name not in DERIVED)
#: attributes that a listing states where its catalogue says that what it leaves out is `no`
_NEVER_SILENT = ("places", "grounding", "tool")
#: what a listing that leaves something out says of it: nothing, or that it is not so
UNSTATED = ("unknown", "no")
#: Figures that may be one for all conductors, or several by size and metal; of these, those that rules may test.
FIGURES: dict[str, Callable[..., WrittenField[Any]]] = {
    "strip": partial(Quantity, "length"),
    "torque": TorqueValue,
    "degrees": partial(Quantity, "temperature"),
    "volts": partial(Quantity, "volts"),
    "amps": partial(Quantity, "amps"),
}
TESTED_FIGURES = tuple(name for name in FIGURES if name in ATTRIBUTES)
#: what a user says of buying and using a connector, and where its listing was read
FACTS = ("part_number", "pack", "price", "on_hand", "minutes", "source")
MOST_CONNECTORS = 2000


class _Figure(Strict):
    """A figure with the sizes and metals that it holds for."""

    @validates_schema
    def _holds_for_some(self, data: dict[str, Any], **_: Any) -> None:
        if not data.keys() & {"from", "to", "materials"}:
            raise ValidationError("says no size and no metal; a figure that holds for all is written alone")
        if ("from" in data) != ("to" in data):
            missing = "to" if "from" in data else "from"
            raise ValidationError({missing: [Says("is required beside the other end of the range", "missing")]})
        if "from" in data:
            check_range(data["from"], data["to"])


def _figure_schema(name: str) -> type[Schema]:
    ends: dict[str, fields.Field[Any]] = {"from": SizeField(), "to": SizeField()}
    own = {"materials": Words(MATERIAL, validate=SOME), name: FIGURES[name](required=True)}
    return _Figure.from_dict({**ends, **own}, name=f"{name.capitalize()}Schema")


class Figures(OneOrSeveral):
    """One figure for all conductors, or figures by size and metal; read as a list of maps either way."""

    def __init__(self, name: str, **kwargs: Any) -> None:
        """Take what `FIGURES` has for `name`."""
        self.figure, self.alone = name, FIGURES[name]()
        super().__init__(_figure_schema(name), "figures", **kwargs)

    def _deserialize(self, value: Any, attr: Any, data: Any, **kwargs: Any) -> list[dict[str, Any]]:
        if not isinstance(value, Mapping | list):
            return [{self.figure: self.alone.deserialize(value)}]
        found = super()._deserialize(value, attr, data, **kwargs)
        for (_, one), (at, other) in combinations(enumerate(found), 2):
            if _both_hold(one, other):
                raise ValidationError({at: ["holds for a size and metal that another figure holds for; part them"]})
        return found


def _both_hold(one: Mapping[str, Any], other: Mapping[str, Any]) -> bool:
    """Say whether two figures hold for one size of one metal."""
    if not set(one.get("materials", MATERIAL)) & set(other.get("materials", MATERIAL)):
        return False
    if "from" not in one or "from" not in other:
        return True
    return bool(one["from"] <= other["to"] and other["from"] <= one["to"])


def _field(kind: FactKind) -> fields.Field[Any]:
    told = says(f"{kind.about[0].upper()}{kind.about[1:]}.")
    if kind.kind == "flag":
        return Flag(metadata=told)
    if kind.name in FIGURES:
        return Figures(kind.name, metadata=told)
    if kind.kind not in ("word", "words"):
        return Quantity(kind.kind, metadata=told)
    if kind.kind == "word":
        needed = kind.name == "method"
        return Word(kind.words, required=needed, error_messages={"required": _needed(kind)}, metadata=told)
    # Influences may be none; a place there is always.
    return Words(kind.words, validate=() if kind.name == "resists" else SOME, metadata=told)


def _needed(kind: FactKind) -> Says:
    return Says(f"is required; write {'one' if kind.kind == 'word' else 'some'} of: {', '.join(kind.words)}", "missing")


class SourceSchema(Strict):
    """Where a listing was read."""

    document = Text(200, required=True, metadata=says("The carton, sheet or page that it was read from."))
    where = Text(200, metadata=says("Where in it."))
    read_on = Day(metadata=says("The day, such as 2026-11-30."))
    read_by = Text(100, metadata=says("Who read it."))


_MINUTES = partial(Number, 0.01, 600, decimals=2)


class _Connector(Strict):
    """One connector with its listing."""

    id = Id(required=True, metadata=says("A name of your own, in kebab-case: what questions and answers call it."))
    name = Text(60, metadata=says("What people call it; without one its method and the sizes that it takes."))
    about = Text(200, metadata=says("What it is, in a sentence."))
    takes = fields.List(
        fields.Nested(TakeSchema),
        required=True,
        validate=few(20, "groups"),
        metadata=says("What goes in: groups of combinations, of ports, or of totals of metal."),
    )
    strip = Figures("strip", metadata=says("How long an end is stripped."))
    torque = Figures("torque", metadata=says("What its screw or nut is tightened to."))
    outside = Outside(metadata=says("Outside dimensions: length, width and height, or length and diameter."))
    part_number = Text(60, metadata=says("What it is ordered by."))
    pack = Number(1, 100_000, decimals=0, metadata=says("How many are in a pack."))
    price = Number(
        0.0001, 1_000_000, decimals=4, metadata=says("What a pack costs, or one where no pack is told; without a unit.")
    )
    on_hand = Number(0, 10_000_000, decimals=0, metadata=says("How many you have."))
    minutes = _MINUTES(metadata=says("Minutes that a joint with it takes: your own figure, or none."))
    source = fields.Nested(SourceSchema, metadata=says("Where the listing was read."))
    sure = Flag(metadata=says("What is beyond the usual in it was looked at again, and the carton says so."))

    @validates_schema(skip_on_field_errors=False)
    def _no_combination_twice(self, data: dict[str, Any], **_: Any) -> None:
        seen: set[object] = set()
        wrong: dict[int, Any] = {}
        for at, take in enumerate(data.get("takes", ())):
            for line, one in enumerate(take.get("combinations") or ()):
                for combination in one:
                    key = _meaning(combination, take)
                    if key in seen:
                        text = " + ".join(f"{part.count} x {part.size}" for part in combination)
                        wrong.setdefault(at, {}).setdefault("combinations", {})[line] = [
                            f"{text} stands twice; leave one out"
                        ]
                    seen.add(key)
        if wrong:
            raise ValidationError({"takes": wrong})


def _meaning(combination: tuple[WrittenEntry, ...], take: Mapping[str, Any]) -> object:
    return frozenset(
        (part.size, part.count, *(part.words.get(group, tuple(take.get(group, ()))) for group in GROUPS))
        for part in combination
    )


_CELLS = says("Cells that an import read it from, by pointers into the listing; nothing is judged by them.")
ConnectorSchema = _Connector.from_dict(
    {**{name: _field(ATTRIBUTES[name]) for name in LISTED}, "from": Cells(metadata=_CELLS)}, name="ConnectorSchema"
)


MinutesSchema = Strict.from_dict({method: _MINUTES() for method in METHODS}, name="MinutesSchema")


class _Catalogue(Strict):
    """A catalogue file."""

    error_messages = {  # noqa: RUF012 - marshmallow's own way
        "type": Says("must be an object with catalogue, note, connectors", "wrong-type")
    }
    catalogue = Id(required=True, metadata=says("Its name, as the file's."))
    note = Text(1000, required=True, metadata=says("What it is, in a sentence or two."))
    demo = Flag(metadata=says("Whether its connectors are invented: every answer from it says so."))
    unstated = Word(UNSTATED, metadata=says("What it means where a listing leaves a key out; `unknown` by default."))
    minutes = fields.Nested(MinutesSchema, metadata=says("Minutes a joint by method, where a connector has none."))
    connectors = fields.List(
        fields.Nested(ConnectorSchema),
        required=True,
        validate=few(MOST_CONNECTORS, "connectors"),
        metadata=says("The connectors."),
    )

    @validates_schema(pass_original=True, skip_on_field_errors=False)
    def _whole(self, _data: Any, original: Any, **_: Any) -> None:
        seen: set[str] = set()
        wrong: dict[int, Any] = {}
        if isinstance(original, Mapping) and original.get("unstated") == "no":
            for at, one in _maps(original):
                silent = {name: [_needed(ATTRIBUTES[name])] for name in _NEVER_SILENT if name not in one}
                if silent:
                    wrong[at] = silent
        for at, name in _ids(original):
            if name in seen:
                wrong.setdefault(at, {})["id"] = [f"{name} stands twice; give each connector an id of its own"]
            seen.add(name)
        if wrong:
            raise ValidationError({"connectors": wrong})


CatalogueSchema = _Catalogue.from_dict(
    {"from": Text(200, metadata=says("The file that it was imported from."))}, name="CatalogueSchema"
)


def _maps(original: Mapping[str, Any]) -> Iterator[tuple[int, Mapping[str, Any]]]:
    connectors = original.get("connectors")
    for at, one in enumerate(connectors if isinstance(connectors, list) else ()):
        if isinstance(one, Mapping):
            yield at, one


def _ids(original: Any) -> Iterator[tuple[int, str]]:
    for at, one in _maps(original) if isinstance(original, Mapping) else ():
        if isinstance(one.get("id"), str):
            yield at, one["id"]
