"""Schema fields that take a value as it is or refuse it, with the nearest right word. Never converted, never ignored."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from typing import Any

from marshmallow import EXCLUDE, Schema, ValidationError, fields, validates_schema

from splicewright.reading import Problem, Refused, join, nearest, not_allowed, shown

_REQUIRED = {"required": "is required", "null": "may not be null", "invalid": "must be an object"}
#: marshmallow's own sentences, for the fields that are not ours
_OWN_WORDS = {
    "Missing data for required field.": "is required",
    "Field may not be null.": "may not be null",
    "Invalid input type.": "must be an object",
    "Not a valid list.": "must be a list",
}


class Strict(Schema):
    """A map with known keys only."""

    class Meta:
        unknown = EXCLUDE  # told by `_known_keys`, which can name the nearest key

    error_messages = {"type": "must be an object"}  # noqa: RUF012 - marshmallow's own way

    @validates_schema(pass_original=True, skip_on_field_errors=False)
    def _known_keys(self, _data: Any, original: Any, **_: Any) -> None:
        if not isinstance(original, Mapping):
            return
        wrong = {str(key): [f"unknown key; {_guess(str(key), self.fields)}"] for key in original if key not in self.fields}
        if wrong:
            raise ValidationError(wrong)


def _guess(key: str, keys: Collection[str]) -> str:
    guess = nearest(key, keys)
    return f"did you mean {guess!r}?" if guess else f"known here: {', '.join(keys)}"


class Text(fields.Field[str]):
    """Text of at most `longest` characters."""

    default_error_messages = _REQUIRED

    def __init__(self, longest: int = 100, **kwargs: Any) -> None:
        self.longest = longest
        super().__init__(**kwargs)

    def _deserialize(self, value: Any, _attr: Any, _data: Any, **_: Any) -> str:
        if not isinstance(value, str):
            raise ValidationError(f"{shown(value)} is not text")
        if len(value) > self.longest:
            raise ValidationError(f"is {len(value)} characters long; at most {self.longest} are allowed")
        if any("\ud800" <= c <= "\udfff" for c in value):
            raise ValidationError("holds half a character (a lone surrogate)")
        return value


class Word(fields.Field[str]):
    """One of a closed list of words."""

    default_error_messages = _REQUIRED

    def __init__(self, words: Collection[str], **kwargs: Any) -> None:
        self.words = words
        super().__init__(**kwargs)

    def _deserialize(self, value: Any, _attr: Any, _data: Any, **_: Any) -> str:
        if isinstance(value, str) and value in self.words:
            return value
        raise ValidationError(not_allowed(value, self.words) if isinstance(value, str) else self._not_a_word(value))

    def _not_a_word(self, value: Any) -> str:
        words = list(self.words)
        return f"{shown(value)} is not a word; use one of: {', '.join(words[:30])}"


class Words(fields.List):
    """A list of different words of a closed list; a single word stands for a list of one where `single` is set."""

    default_error_messages = {**_REQUIRED, "invalid": "must be a list of words"}

    def __init__(self, words: Collection[str], *, single: bool = False, **kwargs: Any) -> None:
        self.single = single
        super().__init__(Word(words), **kwargs)

    def _deserialize(self, value: Any, attr: Any, data: Any, **kwargs: Any) -> list[Any]:
        if self.single and isinstance(value, str):
            try:
                return [self.inner.deserialize(value)]
            except ValidationError as error:
                raise ValidationError(error.messages) from None
        found = super()._deserialize(value, attr, data, **kwargs)
        if len(set(found)) != len(found):
            raise ValidationError("names a word twice")
        return sorted(found)


class Flag(fields.Field[bool]):
    """`true` or `false`, and nothing that resembles them."""

    default_error_messages = _REQUIRED

    def _deserialize(self, value: Any, _attr: Any, _data: Any, **_: Any) -> bool:
        if not isinstance(value, bool):
            raise ValidationError(f"{shown(value)} is neither true nor false")
        return value


class Number(fields.Field[float]):
    """A JSON number from `least` to `most`, read to `decimals` (0 or 1) places; a finer one is refused."""

    default_error_messages = _REQUIRED

    def __init__(self, least: float, most: float, *, decimals: int = 1, **kwargs: Any) -> None:
        self.least, self.most, self.decimals = least, most, decimals
        super().__init__(**kwargs)

    def _deserialize(self, value: Any, _attr: Any, _data: Any, **_: Any) -> float:
        if isinstance(value, bool) or not isinstance(value, int | float):
            raise ValidationError(f"{shown(value)} is not a number")
        if not self.least <= value <= self.most:
            raise ValidationError(f"{shown(value)} is out of range; {self.least} to {self.most} is allowed")
        if round(value, self.decimals) != value:
            raise ValidationError(
                f"{shown(value)} is not a whole number" if not self.decimals else f"{shown(value)} is finer than one decimal"
            )
        return int(value) if value == int(value) else value


def load(schema: Schema, value: Any) -> Any:
    """Load `value` by `schema`. Raises `Refused` with a pointer for each problem, in the order of pointers."""
    try:
        return schema.load(value)
    except ValidationError as error:
        raise Refused(sorted(problems(error.messages), key=lambda p: p.pointer)) from None


def problems(messages: Any, pointer: str = "") -> Iterator[Problem]:
    """Turn a schema's nested messages into problems with JSON Pointers."""
    if isinstance(messages, Mapping):
        for key, inner in messages.items():
            yield from problems(inner, pointer if key == "_schema" else join(pointer, key))
    elif isinstance(messages, list):
        for inner in messages:
            yield from problems(inner, pointer)
    else:
        yield Problem(pointer, _OWN_WORDS.get(str(messages), str(messages)))
