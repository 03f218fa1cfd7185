"""How each kind of schema field is written in JSON Schema, as it is read: nothing looser, nothing stricter."""

from __future__ import annotations

import functools
from collections.abc import Collection, Mapping
from typing import Any

from apispec.ext.marshmallow import MarshmallowPlugin
from apispec.ext.marshmallow.openapi import OpenAPIConverter
from marshmallow import Schema, fields

from splicewright.answering.inline import MOST_BYTES, MOST_COMBINATIONS, MOST_CONNECTORS
from splicewright.api.shapes.fields import Choice, OneOf, OrNull, Raw, Tag
from splicewright.api.word_names import name_of
from splicewright.job.schema import MOST_PRICES, Prices, PriceSchema
from splicewright.question.proposal import FlagOrLength, StripSchema
from splicewright.question.schema import CatalogueName
from splicewright.strict_fields import (
    TAG_PATTERN,
    Flag,
    InputField,
    Items,
    Number,
    SizeField,
    TagText,
    Text,
    Word,
    Words,
)
from splicewright.strict_schema import Strict

#: Exactly what `units.size` reads: AWG 40 to 1 and 1/0 to 4/0, kcmil 212 to 2500, mm2 0.05 to 2500.
SIZE_PATTERN = (
    r"^(([1-9]|[1-3][0-9]|40|[1-4]/0) AWG"
    r"|(21[2-9]|2[2-9][0-9]|[3-9][0-9]{2}|1[0-9]{3}|2[0-4][0-9]{2}|2500) kcmil"
    r"|(0\.(0[5-9]|[1-9][0-9]?)|([1-9][0-9]{0,2}|1[0-9]{3}|2[0-4][0-9]{2})(\.[0-9]{1,2})?|2500(\.00?)?) mm2)$"
)

_NULL = {"type": "null"}
_OWN_CATALOGUE = (
    f"In a request a whole catalogue, as its files have it, may stand in place of the name: at most {MOST_CONNECTORS} "
    f"connectors and {MOST_COMBINATIONS:,} combinations in {MOST_BYTES:,} bytes. In an answer its digest does."
)
#: Where the default of an object stands: of a schema with such a `default`, a usual generator makes no client at all.
OBJECT_DEFAULT = "x-default"
_WITHOUT_MEANINGS = {"Insulation": "Type letters of insulation.", "StandardBox": "A standard metal box."}


class Converter(OpenAPIConverter):
    """Writes our schemas: closed where unknown keys are refused, with their docstrings as descriptions."""

    def schema2jsonschema(self, schema: Any) -> dict[str, Any]:
        """Write one schema."""
        found: dict[str, Any] = super().schema2jsonschema(schema)
        kind = schema if isinstance(schema, type) else type(schema)
        about = (kind.__doc__ or "").strip()
        found.pop("additionalProperties", None)
        if issubclass(kind, Strict):
            found["additionalProperties"] = False
            required = found.get("required", ())
            found["properties"] = {
                key: part if key in required else or_null(part, default=key not in kind.laid)
                for key, part in found["properties"].items()
            }
        return {"description": " ".join(about.split()), **found} if about else found

    def write_field(self, field: fields.Field[Any], **kwargs: Any) -> dict[str, Any]:
        """Write what a field of ours takes; called after the library's own functions."""
        ret = kwargs["ret"]
        if isinstance(field, Choice):
            return self.choice(field.of)
        if isinstance(field, OrNull):
            return {"oneOf": [self.resolve_nested_schema(field.shape), {"type": "null"}]}
        if isinstance(field, FlagOrLength):
            return {"oneOf": [{"type": "boolean"}, self.resolve_nested_schema(StripSchema)]}
        if isinstance(field, Prices):
            price = or_null(self.resolve_nested_schema(PriceSchema))
            return {"type": "object", "additionalProperties": price, "maxProperties": MOST_PRICES}
        if (named := self._named(field)) is not None:
            for key in ("type", "items"):
                ret.pop(key, None)
            return named
        written = _written(field)
        for key in ("type", "items"):
            if "oneOf" in written:
                ret.pop(key, None)
        meanings = field.meanings if isinstance(field, InputField) else {}
        description = _with_meanings(ret.get("description", ""), meanings)
        return {**written, "description": description} if description else written

    def choice(self, of: OneOf) -> dict[str, Any]:
        """Write a reference to a named choice, whose variants are added where they are not there yet."""
        known = self.spec.components.schemas.get(of.name)
        if known and "properties" in known:
            raise TypeError(f"{of.name} would name a choice and a schema")
        if known is None:
            self.spec.components.schema(of.name, {"description": of.about})  # a name that variants may refer to
            variants = [self._variant(variant) for variant in of.variants]
            found: dict[str, Any] = {"oneOf": variants}
            if of.tag:
                found["discriminator"] = {
                    "propertyName": of.tag,
                    "mapping": {
                        _tag_word(variant, of.tag): ref["$ref"]
                        for variant, ref in zip(of.variants, variants, strict=True)
                    },
                }
            self.spec.components.schemas[of.name].update(found)
        ref = {"$ref": f"#/components/schemas/{of.name}"}
        return {"type": "array", "items": ref} if of.several else ref

    def _named(self, field: fields.Field[Any]) -> dict[str, Any] | None:
        """Refer to a list of words that stands in the document once, under its name; None where it has none."""
        if not isinstance(field, Word | Words):
            return None
        name = name_of(field.words)
        if name is None:
            raise TypeError(f"no name is known for the words {', '.join(field.words)}")
        if name not in self.spec.components.schemas:
            about = _with_meanings("", field.meanings) or _WITHOUT_MEANINGS.get(name, "A word of a closed list.")
            self.spec.components.schema(name, {**_one_of(field.words), "description": about})
        if "enum" not in self.spec.components.schemas[name]:
            raise TypeError(f"{name} is the name of words and of something else")
        ref = {"$ref": f"#/components/schemas/{name}"}
        return _several(field, ref) if isinstance(field, Words) else ref

    def _variant(self, of: type[Schema] | OneOf | dict[str, Any]) -> dict[str, Any]:
        if isinstance(of, dict):
            return of
        found: dict[str, Any] = self.choice(of) if isinstance(of, OneOf) else self.resolve_nested_schema(of)
        return found


class Plugin(MarshmallowPlugin):
    """apispec's plugin for our fields."""

    Converter = Converter

    def init_spec(self, spec: Any) -> None:
        """Begin a document."""
        super().init_spec(spec)
        assert isinstance(self.converter, Converter)
        self.converter.add_attribute_function(Converter.write_field)


def schema_name(schema: Any) -> str:
    """Give the name under which a schema stands in the document."""
    kind = schema if isinstance(schema, type) else type(schema)
    return kind.__name__.lstrip("_").removesuffix("Schema").removesuffix("Shape")


def _tag_word(variant: type[Schema] | OneOf | dict[str, Any], tag: str) -> str:
    assert isinstance(variant, type)
    field = variant().fields[tag]
    assert isinstance(field, Tag)
    return field.word


def or_null(part: dict[str, Any], *, default: bool = True) -> dict[str, Any]:
    """Let a part that may be left out be null, which means the same; without its default where it has none there."""
    kept = {key: told for key, told in part.items() if default or key != "default"}
    if isinstance(kept.get("default"), dict):
        kept[OBJECT_DEFAULT] = kept.pop("default")
    if "$ref" in kept:
        return {"oneOf": [{"$ref": kept.pop("$ref")}, _NULL], **kept}
    if "oneOf" in kept:
        return {**kept, "oneOf": [*kept["oneOf"], _NULL]}
    return {**kept, "type": [kept["type"], "null"]}


@functools.singledispatch
def _written(field: fields.Field[Any]) -> dict[str, Any]:
    if type(field).__module__.startswith("splicewright.") and not isinstance(field, fields.Nested):
        raise TypeError(f"no way is known to document {type(field).__name__}")
    return {}


@_written.register
def _(field: Items) -> dict[str, Any]:
    return _lengths(field)


@_written.register
def _(field: Number) -> dict[str, Any]:
    kind = "number" if field.decimals else "integer"
    return {"type": kind, "minimum": float(field.least), "maximum": float(field.most)}


@_written.register
def _(_: Flag) -> dict[str, Any]:
    return {"type": "boolean"}


@_written.register
def _(field: Text) -> dict[str, Any]:
    return {"type": "string", "maxLength": field.longest}


@_written.register
def _(field: CatalogueName) -> dict[str, Any]:
    # Clients of old have a text here, in what they are sent too; a type that is one or the other would break them.
    return {"type": "string", "maxLength": field.longest, "x-or-object": _OWN_CATALOGUE}


@_written.register
def _(field: TagText) -> dict[str, Any]:
    return {"type": "string", "maxLength": field.longest, "pattern": TAG_PATTERN}


@_written.register
def _(_: SizeField) -> dict[str, Any]:
    return {"type": "string", "pattern": SIZE_PATTERN, "examples": ["12 AWG", "250 kcmil", "2.5 mm2"]}


@_written.register
def _(field: Tag) -> dict[str, Any]:
    return {"type": "string", "const": field.word, "enum": [field.word]}


@_written.register
def _(field: Raw) -> dict[str, Any]:
    return dict(field.schema)


def _lengths(field: Items) -> dict[str, int]:
    return {"minItems": field.least, "maxItems": field.most}


def _one_of(words: Collection[str]) -> dict[str, Any]:
    return {"type": "string", "enum": list(words)}


def _several(field: Words, word: dict[str, Any]) -> dict[str, Any]:
    several = {"type": "array", "items": word, "uniqueItems": True, **_lengths(field)}
    return {"oneOf": [word, several]} if field.single else several


def _with_meanings(description: str, meanings: Mapping[str, str]) -> str:
    listed = "\n".join(f"- `{word}`: {means}" for word, means in meanings.items())
    return "\n\n".join(part for part in (description, listed) if part)
