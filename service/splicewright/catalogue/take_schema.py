"""What a group of a listing may hold: combinations of conductors, ports, or totals of metal."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import cached_property
from typing import Any

from marshmallow import Schema, ValidationError, fields, validate, validates_schema

from splicewright.catalogue.fields import Combinations, Counts, MetalArea, Quantity, TorqueValue
from splicewright.question.vocabulary import CONSTRUCTION, END, MATERIAL
from splicewright.refusals import Says
from splicewright.strict_fields import Number, SizeField, Words
from splicewright.strict_fields import about as says
from splicewright.strict_schema import Strict, reader
from splicewright.units import METAL_UNITS, Size

MOST_LINES = 500
#: the two ends of a range, under the words that a file has for them (`from` can't be a name in Python)
_ENDS = {"from": SizeField(required=True), "to": SizeField(required=True)}
SOME = validate.Length(1, error="may not be empty; leave it out or name at least one")


def few(most: int, what: str) -> validate.Length:
    """Give what refuses a list that is empty, or has more than `most`; `what` is what they are called."""
    return validate.Length(1, most, error=f"needs 1 to {most} {what}")


class _Range(Strict):
    """Sizes from one to another, both included."""

    @validates_schema
    def _right_way_up(self, data: dict[str, Any], **_: Any) -> None:
        check_range(data["from"], data["to"])


def check_range(least: Size, most: Size) -> None:
    """Raise `ValidationError` where two sizes are no range."""
    if least.system != most.system:
        raise ValidationError(f"{least} and {most} are of two systems; write both in AWG and kcmil, or both in mm2")
    if least > most:
        raise ValidationError({"from": [f"the range is upside down; write {{from: {most}, to: {least}}}"]})


#: sizes with the ends and materials that they hold for, where those are not the group's
RangeSchema = _Range.from_dict(
    {**_ENDS, "materials": Words(MATERIAL, validate=SOME), "ends": Words(END, validate=SOME)},
    name="RangeSchema",
)


class OneOrSeveral(fields.Field[list[dict[str, Any]]]):
    """A map, or a list of such maps; read as a list either way."""

    def __init__(self, schema: type[Schema], what: str, **kwargs: Any) -> None:
        """Take maps of `schema`; `what` is what a list of them is called in a fault."""
        self._one = fields.Nested(schema)
        self._several = fields.List(fields.Nested(schema), validate=few(20, what))
        super().__init__(**kwargs)

    @property
    def of(self) -> Schema:
        """The schema of such a map."""
        return self._one.schema

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


class _Port(Strict):
    """Like ports: how many, and the sizes of each construction that one of them takes."""

    count = Number(1, 100, decimals=0, required=True, metadata=says("How many there are."))
    conductors = Number(1, 24, decimals=0, load_default=1, metadata=says("How many conductors one of them holds; 1."))
    strip = Quantity("length", metadata=says("How long an end is stripped for one of them."))
    torque = TorqueValue(metadata=says("What its screw is tightened to."))

    @validates_schema(pass_original=True)
    def _takes_something(self, _data: Any, original: Any, **_: Any) -> None:
        if not set(CONSTRUCTION) & set(original):
            allowed = ", ".join(CONSTRUCTION)
            raise ValidationError(f"takes nothing; write the sizes of at least one of: {allowed}")


PortSchema = _Port.from_dict({name: OneOrSeveral(RangeSchema, "ranges") for name in CONSTRUCTION}, name="PortSchema")


class _Metal(Strict):
    """Conductors by their total of metal: how much, how many conductors, and which sizes."""

    count = Counts(required=True, metadata=says("How many conductors: a number, or a span like 2 to 5."))
    thinnest = SizeField(required=True, metadata=says("The thinnest conductor."))
    thickest = SizeField(required=True, metadata=says("The thickest conductor."))

    @validates_schema
    def _right_way_up(self, data: dict[str, Any], **_: Any) -> None:
        (of, least), (as_well, most) = (METAL_UNITS[data[end].unit] for end in ("from", "to"))
        if of != as_well:
            raise ValidationError("is in two units; write both ends in mm2, or both in circular mils")
        if data["from"].value * least > data["to"].value * most:
            says = f"the range is upside down; write {{from: {data['to']}, to: {data['from']}}}"
            raise ValidationError({"from": [says]})
        if data["thinnest"].system != data["thickest"].system:
            raise ValidationError({"thickest": ["is of another system of sizes than thinnest"]})
        if data["thinnest"] > data["thickest"]:
            raise ValidationError({"thinnest": [f"is thicker than the thickest, {data['thickest']}"]})


MetalSchema = _Metal.from_dict(
    {
        "from": MetalArea(required=True, metadata=says("The least metal in all, in mm2, cmil or kcmil.")),
        "to": MetalArea(required=True, metadata=says("The most.")),
    },
    name="MetalSchema",
)
_WAYS = ("combinations", "ports", "metal")
_OWN_NUMBER = {"combinations": "a combination says its own number", "metal": "a total of metal says its own count"}


class TakeSchema(Strict):
    """One group of a listing: combinations, ports, or totals of metal."""

    materials = Words(MATERIAL, required=True, validate=SOME, metadata=says("The metals of all conductors in it."))
    constructions = Words(CONSTRUCTION, validate=SOME, metadata=says("Their constructions; each port says its own."))
    ends = Words(END, load_default=["plain"], validate=SOME, metadata=says("Their ends; plain where not told."))
    combinations = fields.List(
        Combinations(),
        validate=few(MOST_LINES, "combinations"),
        metadata=says("The lines of a chart, such as {12 AWG: 2, 18 AWG fine-stranded: 1 to 2}."),
    )
    ports = fields.List(
        fields.Nested(PortSchema),
        validate=few(20, "kinds of ports"),
        metadata=says("Its openings, by kind."),
    )
    metal = fields.List(
        fields.Nested(MetalSchema),
        validate=few(50, "totals of metal"),
        metadata=says("Totals of metal that go in."),
    )
    least = Number(1, 24, decimals=0, metadata=says("The fewest conductors that its ports are listed for; 1."))

    @validates_schema(pass_original=True, skip_on_field_errors=False)
    def _one_or_the_other(self, _data: Any, original: Any, **_: Any) -> None:
        if not isinstance(original, Mapping):
            return
        given = [key for key in _WAYS if key in original]
        if len(given) != 1:
            nothing = "takes nothing; write combinations, ports or metal"
            raise ValidationError(f"write {' or '.join(given)}, not both" if given else nothing)
        if given != ["ports"] and "constructions" not in original:
            raise ValidationError({"constructions": [Says(f"is required with {given[0]}", "missing")]})
        if given != ["ports"] and "least" in original:
            raise ValidationError({"least": [f"goes with ports; {_OWN_NUMBER[given[0]]}"]})
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
