"""The format of catalogue files as a JSON Schema for editors, made of the schemas that read them.

It tells no less than they take; what they compare part with part (a range that is upside down, two figures for one
size) only reading tells.
"""

from __future__ import annotations

import functools
from typing import Any

from marshmallow import Schema, fields

from splicewright.catalogue.fields import MOST_CONDUCTORS, Cells, Combinations, Counts, WrittenField
from splicewright.catalogue.schema import CatalogueSchema, Figures
from splicewright.catalogue.take_schema import OneOrSeveral
from splicewright.strict_fields import Flag, Items, Number, SizeField, Text, Word

Plain = dict[str, Any]
_COUNT: list[Plain] = [
    {"type": "integer", "minimum": 1, "maximum": MOST_CONDUCTORS},
    {"type": "string", "pattern": f"^{Counts.pattern}$"},
]
#: What a size begins like; which there are, reading tells.
_SIZE = r"^[0-9/.]+ (AWG|kcmil|mm2)"


def catalogue_json_schema() -> Plain:
    """Give the JSON Schema of a catalogue file."""
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "A catalogue of connectors with what their listings say",
        **_map(CatalogueSchema()),
    }


def _map(schema: Schema) -> Plain:
    required = [key for key, field in schema.fields.items() if field.required]
    found: Plain = {
        "type": "object",
        "additionalProperties": False,
        "properties": {key: _described(field) for key, field in schema.fields.items()},
    }
    return {**found, "required": required} if required else found


def _described(field: fields.Field[Any]) -> Plain:
    about = field.metadata.get("description")
    return {"description": about, **written(field)} if about else written(field)


@functools.singledispatch
def written(field: fields.Field[Any]) -> Plain:
    """Give what a field takes. Raises TypeError for one of which no way is known."""
    raise TypeError(f"no way is known to write {type(field).__name__}")


@written.register
def _(field: WrittenField) -> Plain:  # type: ignore[type-arg]
    return {"type": "string", "pattern": f"^(?:{field.pattern})$"}


@written.register
def _(_: Combinations) -> Plain:
    # Editors stop at a key that is no size; whether its words are known, reading tells.
    return {
        "type": "object",
        "minProperties": 1,
        "propertyNames": {"pattern": _SIZE},
        "additionalProperties": {"oneOf": _COUNT},
    }


@written.register
def _(_: Counts) -> Plain:
    return {"oneOf": _COUNT}


@written.register
def _(_: Cells) -> Plain:
    return {"type": "object", "propertyNames": {"pattern": "^(/|$)"}, "additionalProperties": {"type": "string"}}


@written.register
def _(field: Text) -> Plain:
    return {"type": "string", "maxLength": field.longest}


@written.register
def _(field: Word) -> Plain:
    return {"type": "string", "enum": list(field.words)}


@written.register
def _(field: Items) -> Plain:
    return {"type": "array", "items": written(field.inner), "uniqueItems": True, "maxItems": field.most}


@written.register
def _(_: Flag) -> Plain:
    return {"type": "boolean"}


@written.register
def _(field: Number) -> Plain:
    kind = "number" if field.decimals else "integer"
    return {"type": kind, "minimum": field.least, "maximum": field.most}


@written.register
def _(_: SizeField) -> Plain:
    return {"type": "string", "pattern": f"{_SIZE}$"}


@written.register
def _(field: fields.Nested) -> Plain:
    return _map(field.schema)


@written.register
def _(field: fields.List) -> Plain:  # type: ignore[type-arg]
    return {"type": "array", "items": written(field.inner), "minItems": 1}


@written.register
def _(field: OneOrSeveral) -> Plain:
    one = _map(field.of)
    return {"oneOf": [one, {"type": "array", "items": one, "minItems": 1}]}


@written.register
def _(field: Figures) -> Plain:
    one = _map(field.of)
    return {"oneOf": [written(field.alone), one, {"type": "array", "items": one, "minItems": 1}]}
