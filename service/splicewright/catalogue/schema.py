"""What a catalogue file may hold: the one declaration that reads and refuses.

A connector's own attributes are those of `rulebook.attributes`, but for the ones that follow from what it
takes and from its outside dimensions: a new attribute there may be written here at once.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from functools import cached_property
from typing import Any

from marshmallow import Schema, ValidationError, fields, validate, validates_schema

from splicewright.catalogue.fields import Combinations, Id, Outside, Quantity, TorqueValue, WrittenEntry
from splicewright.question.fact_kinds import FactKind
from splicewright.question.vocabulary import CONSTRUCTION, END, MATERIAL
from splicewright.rulebook.attributes import ATTRIBUTES, OF_JOINT
from splicewright.strict_fields import Flag, Number, SizeField, Text, Word, Words
from splicewright.strict_schema import Strict, reader
from splicewright.units import Size

#: attributes that follow from the rest of the listing, or from the joint
DERIVED = ("materials", "constructions", "ends", "height", "largest", *OF_JOINT)
LISTED = tuple(name for name in ATTRIBUTES if name not in DERIVED)
#: attributes on which no listing may be silent: a connector can't be judged without them
_NEVER_SILENT = ("method", "places", "grounding", "tool")
MOST_CONNECTORS = 2000
MOST_LINES = 500
#: the two ends of a range, under the words that a file has for them (`from` can't be a name in Python)
_ENDS = {"from": SizeField(required=True), "to": SizeField(required=True)}
_SOME = validate.Length(1, error="may not be empty; leave it out or name at least one")


def _few(most: int, what: str) -> validate.Length:
    return validate.Length(1, most, error=f"needs 1 to {most} {what}")


class _Range(Strict):
    """Sizes from one to another, both included."""

    @validates_schema
    def _right_way_up(self, data: dict[str, Any], **_: Any) -> None:
        _check_range(data["from"], data["to"])


def _check_range(least: Size, most: Size) -> None:
    if least.system != most.system:
        raise ValidationError(f"{least} and {most} are of two systems; write both in AWG and kcmil, or both in mm2")
    if least > most:
        raise ValidationError({"from": [f"the range is upside down; write {{from: {most}, to: {least}}}"]})


#: sizes with the ends and materials that they hold for, where those are not the group's
RangeSchema = _Range.from_dict(
    {**_ENDS, "materials": Words(MATERIAL, validate=_SOME), "ends": Words(END, validate=_SOME)},
    name="RangeSchema",
)
TorqueSchema = _Range.from_dict({**_ENDS, "torque": TorqueValue(required=True)}, name="TorqueSchema")


class OneOrSeveral(fields.Field[list[dict[str, Any]]]):
    """A map, or a list of such maps; read as a list either way."""

    def __init__(self, schema: type[Schema], what: str, **kwargs: Any) -> None:
        """Take maps of `schema`; `what` is what a list of them is called in a fault."""
        self._one = fields.Nested(schema)
        self._several = fields.List(fields.Nested(schema), validate=_few(20, what))
        super().__init__(**kwargs)

    @cached_property
    def _read_one(self) -> Callable[[Any], dict[str, Any]]:
        return reader(self._one)

    @cached_property
    def _read_several(self) -> Callable[[Any], list[dict[str, Any]]]:
        return reader(self._several)

    def _deserialize(self, value: Any, attr: Any, data: Any, **kwargs: Any) -> list[dict[str, Any]]:
        several = isinstance(value, list)
        try:
            return self._read_several(value) if several else [self._read_one(value)]
        except ValidationError:
            pass  # read again below, to tell every problem
        if not several:
            return [self._one.deserialize(value, attr, data, **kwargs)]
        found: list[Any] = self._several.deserialize(value, attr, data, **kwargs)
        return found


class Torques(OneOrSeveral):
    """One torque for all sizes, or torques by sizes."""

    def _deserialize(self, value: Any, attr: Any, data: Any, **kwargs: Any) -> list[dict[str, Any]]:
        if isinstance(value, str):
            return [{"torque": TorqueValue().deserialize(value)}]
        return super()._deserialize(value, attr, data, **kwargs)


class _Port(Strict):
    """Like ports: how many, and the sizes of each construction that one of them takes."""

    count = Number(1, 100, decimals=0, required=True)
    conductors = Number(1, 24, decimals=0, load_default=1)

    @validates_schema(pass_original=True)
    def _takes_something(self, _data: Any, original: Any, **_: Any) -> None:
        if not set(CONSTRUCTION) & set(original):
            allowed = ", ".join(CONSTRUCTION)
            raise ValidationError(f"takes nothing; write the sizes of at least one of: {allowed}")


PortSchema = _Port.from_dict({name: OneOrSeveral(RangeSchema, "ranges") for name in CONSTRUCTION}, name="PortSchema")


class TakeSchema(Strict):
    """One group of a listing: combinations, or ports."""

    materials = Words(MATERIAL, required=True, validate=_SOME)
    constructions = Words(CONSTRUCTION, validate=_SOME)
    ends = Words(END, load_default=["plain"], validate=_SOME)
    combinations = fields.List(Combinations(), validate=_few(MOST_LINES, "combinations"))
    ports = fields.List(fields.Nested(PortSchema), validate=_few(20, "kinds of ports"))
    least = Number(1, 24, decimals=0)

    @validates_schema(pass_original=True, skip_on_field_errors=False)
    def _one_or_the_other(self, _data: Any, original: Any, **_: Any) -> None:
        if not isinstance(original, Mapping):
            return
        given = [key for key in ("combinations", "ports") if key in original]
        if len(given) != 1:
            raise ValidationError(
                "takes nothing; write combinations or ports" if not given else "write combinations or ports, not both"
            )
        if given == ["combinations"] and "constructions" not in original:
            raise ValidationError({"constructions": ["is required with combinations"]})
        if given == ["combinations"] and "least" in original:
            raise ValidationError({"least": ["goes with ports; a combination says its own number"]})
        if given == ["ports"] and "constructions" in original:
            raise ValidationError({"constructions": ["is said by each port; leave it out here"]})

    @validates_schema
    def _one_range_a_kind(self, data: dict[str, Any], **_: Any) -> None:
        for at, port in enumerate(data.get("ports", ())):
            for construction in CONSTRUCTION:
                seen: set[tuple[str, str]] = set()
                for number, one in enumerate(port.get(construction, ())):
                    kinds = {
                        (m, e) for m in one.get("materials", data["materials"]) for e in one.get("ends", data["ends"])
                    }
                    if kinds & seen:
                        says = "two ranges hold for one kind of conductor; write one, or materials and ends that differ"
                        raise ValidationError({"ports": {at: {construction: {number: [says]}}}})
                    seen |= kinds


def _field(kind: FactKind) -> fields.Field[Any]:
    if kind.kind == "flag":
        return Flag()
    if kind.kind not in ("word", "words"):
        return Quantity(kind.kind)
    words = ", ".join(kind.words)
    needed = {"required": f"is required; write {'one' if kind.kind == 'word' else 'some'} of: {words}"}
    if kind.kind == "word":
        return Word(kind.words, required=kind.name in _NEVER_SILENT, error_messages=needed)
    return Words(kind.words, required=kind.name in _NEVER_SILENT, error_messages=needed, validate=_SOME)


class _Connector(Strict):
    """One connector with its listing."""

    id = Id(required=True)
    name = Text(60)
    about = Text(200)
    takes = fields.List(fields.Nested(TakeSchema), required=True, validate=_few(20, "groups"))
    strip = Quantity("length")
    torque = Torques(TorqueSchema, "torques")
    outside = Outside()

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
    groups = ("materials", "constructions", "ends")
    return frozenset(
        (part.size, part.count, *(part.words.get(group, tuple(take.get(group, ()))) for group in groups))
        for part in combination
    )


ConnectorSchema = _Connector.from_dict({name: _field(ATTRIBUTES[name]) for name in LISTED}, name="ConnectorSchema")


class CatalogueSchema(Strict):
    """A catalogue file."""

    catalogue = Id(required=True)
    note = Text(1000, required=True)
    connectors = fields.List(
        fields.Nested(ConnectorSchema), required=True, validate=_few(MOST_CONNECTORS, "connectors")
    )

    @validates_schema(pass_original=True, skip_on_field_errors=False)
    def _ids_once(self, _data: Any, original: Any, **_: Any) -> None:
        seen: set[str] = set()
        wrong: dict[int, Any] = {}
        for at, name in _ids(original):
            if name in seen:
                wrong[at] = {"id": [f"{name} stands twice; give each connector an id of its own"]}
            seen.add(name)
        if wrong:
            raise ValidationError({"connectors": wrong})


def _ids(original: Any) -> Iterator[tuple[int, str]]:
    connectors = original.get("connectors") if isinstance(original, Mapping) else None
    for at, one in enumerate(connectors if isinstance(connectors, list) else ()):
        if isinstance(one, Mapping) and isinstance(one.get("id"), str):
            yield at, one["id"]
