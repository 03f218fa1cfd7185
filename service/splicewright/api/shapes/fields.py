"""Short words for what an answer's schema is made of; every part is there unless it is `optional`."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from typing import Any

from marshmallow import Schema, fields

from splicewright.strict_fields import Word, Words

#: A map of anything. Were `additionalProperties` left out, generated clients would take it for a map without keys.
ANY_MAP = {"type": "object", "additionalProperties": {}}


@dataclass(frozen=True)
class OneOf:
    """A named choice of shapes; each carries the `tag` with a word of its own where there is one."""

    name: str
    variants: tuple[type[Schema] | OneOf | dict[str, Any], ...]  # a dict is a JSON Schema as it stands
    about: str
    tag: str | None = None
    several: bool = False  # a list of them


class Tag(fields.Field[str]):
    """The one word by which a variant is told apart."""

    def __init__(self, word: str, **kwargs: Any) -> None:
        self.word = word
        super().__init__(**kwargs)


class Choice(fields.Field[Any]):
    """A part that has one of several shapes."""

    def __init__(self, of: OneOf, **kwargs: Any) -> None:
        self.of = of
        super().__init__(**kwargs)


class Raw(fields.Field[Any]):
    """A part that is described by a JSON Schema as it stands."""

    def __init__(self, schema: Mapping[str, Any], **kwargs: Any) -> None:
        self.schema = schema
        super().__init__(**kwargs)


class OrNull(fields.Field[Any]):
    """A map, or null."""

    def __init__(self, shape: type[Schema], **kwargs: Any) -> None:
        self.shape = shape
        super().__init__(**kwargs)


def _kept(about: str, *, optional: bool) -> dict[str, Any]:
    return {"required": not optional, "metadata": {"description": about}}


def tag(word: str, about: str, *, key: str | None = None) -> Tag:
    """Describe a word that is always the same, under another `key` where Python has its word."""
    return Tag(word, data_key=key, **_kept(about, optional=False))


def text(about: str, *, optional: bool = False, key: str | None = None, **more: Any) -> fields.String:
    """Text, under another `key` where Python has its word; `more` are further words of JSON Schema."""
    found = fields.String(data_key=key, **_kept(about, optional=optional))
    found.metadata = {**found.metadata, **more}
    return found


def word(words: Collection[str], about: str, *, optional: bool = False, key: str | None = None) -> Word:
    """One of a list of words, under another `key` where Python has its word."""
    return Word(words, data_key=key, **_kept(about, optional=optional))


def words(of: Collection[str], about: str, *, optional: bool = False) -> Words:
    """Words of a list."""
    return Words(of, **_kept(about, optional=optional))


def count(about: str, *, optional: bool = False, least: int = 0) -> fields.Integer:
    """Describe a whole number."""
    found = fields.Integer(**_kept(about, optional=optional))
    found.metadata = {**found.metadata, "minimum": least}
    return found


def number(about: str, *, optional: bool = False, key: str | None = None) -> fields.Float:
    """Describe a number, under another `key` where Python has its word."""
    return fields.Float(data_key=key, **_kept(about, optional=optional))


def flag(about: str, *, optional: bool = False) -> fields.Boolean:
    """Describe true or false."""
    return fields.Boolean(**_kept(about, optional=optional))


def part(shape: type[Schema], about: str, *, optional: bool = False, key: str | None = None) -> fields.Nested:
    """Describe a map, under another `key` where Python has its word."""
    return fields.Nested(shape, data_key=key, **_kept(about, optional=optional))


def or_null(shape: type[Schema], about: str, *, key: str | None = None) -> OrNull:
    """Describe a map, or null, under another `key` where that is a word of ours."""
    return OrNull(shape, data_key=key, **_kept(about, optional=False))


def choice(of: OneOf, about: str, *, optional: bool = False) -> Choice:
    """Describe a part that has one of several shapes."""
    return Choice(of, **_kept(about, optional=optional))


def raw(schema: Mapping[str, Any], about: str, *, optional: bool = False, key: str | None = None) -> Raw:
    """Describe a part with a JSON Schema of its own, under another `key` where that is a word of ours."""
    return Raw(schema, data_key=key, **_kept(about, optional=optional))


def each(
    inner: type[Schema] | OneOf | fields.Field[Any],
    about: str,
    *,
    optional: bool = False,
    key: str | None = None,
    **more: Any,
) -> fields.List[Any]:
    """Describe a list, under another `key` where Python has its word; `more` are further words of JSON Schema."""
    if isinstance(inner, OneOf):
        inner = Choice(inner)
    elif not isinstance(inner, fields.Field):
        inner = fields.Nested(inner)
    found = fields.List(inner, data_key=key, **_kept(about, optional=optional))
    found.metadata = {**found.metadata, **more}
    return found


def by_name(inner: type[Schema] | OneOf | fields.Field[Any], about: str, *, optional: bool = False) -> fields.Dict:
    """Describe a map from names to parts of one shape."""
    if isinstance(inner, OneOf):
        inner = Choice(inner)
    elif not isinstance(inner, fields.Field):
        inner = fields.Nested(inner)
    return fields.Dict(values=inner, **_kept(about, optional=optional))
