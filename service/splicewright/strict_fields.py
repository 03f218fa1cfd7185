"""Schema fields that take a value as it is or refuse it with the nearest right word; none is converted."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from typing import Any, ClassVar, TypeVar

from marshmallow import ValidationError, fields

from splicewright.reading import not_allowed, shown
from splicewright.units import Size, counted, size

T = TypeVar("T")
_Words = dict[str, str | list[Any] | dict[Any, Any]]
_REQUIRED: _Words = {"required": "is required", "null": "may not be null", "invalid": "must be an object"}
_DECIMALS = {1: "one decimal", 2: "two decimals", 4: "four decimals"}


def about(says: str) -> dict[str, str]:
    """Give the metadata of a field that is described so, as the API's document prints it."""
    return {"description": says}


class InputField(fields.Field[T]):
    """A field of a request, with what forms, tables and documents tell of it."""

    kind: ClassVar[str]  # `text`, `word`, `words`, `list`, `flag`, `number`, `size`, `quantity`, `flag-or-quantity`
    words: Collection[str] = ()  # of a closed list
    units: Collection[str] = ()

    @property
    def about(self) -> str:
        """What it tells."""
        return str(self.metadata.get("description", ""))

    @property
    def bounds(self) -> dict[str, float]:
        """The bounds of its values, by their names."""
        return {}

    @property
    def meanings(self) -> Mapping[str, str]:
        """The words that have a meaning, with it."""
        words = self.words if isinstance(self.words, Mapping) else {}
        return {word: means for word, means in words.items() if isinstance(means, str)}

    def held(self, value: Any) -> Any:
        """Give a value that was read as a model holds it."""
        return value


class Text(InputField[str]):
    """Text of at most `longest` characters."""

    kind = "text"
    default_error_messages = _REQUIRED

    def __init__(self, longest: int = 100, **kwargs: Any) -> None:
        self.longest = longest
        super().__init__(**kwargs)

    @property
    def bounds(self) -> dict[str, float]:
        """The most characters."""
        return {"longest": self.longest}

    def _deserialize(self, value: Any, *_: Any, **__: Any) -> str:
        if not isinstance(value, str):
            raise ValidationError(f"{shown(value)} is not text")
        if len(value) > self.longest:
            raise ValidationError(f"is {len(value)} characters long; at most {self.longest} are allowed")
        if not value.isascii() and any("\ud800" <= c <= "\udfff" for c in value):
            raise ValidationError("holds half a character (a lone surrogate)")
        return value


class Word(InputField[str]):
    """One of a closed list of words."""

    kind = "word"
    default_error_messages = _REQUIRED

    def __init__(self, words: Collection[str], **kwargs: Any) -> None:
        self.words = words
        super().__init__(**kwargs)

    def _deserialize(self, value: Any, *_: Any, **__: Any) -> str:
        if isinstance(value, str) and value in self.words:
            return value
        raise ValidationError(not_allowed(value, self.words) if isinstance(value, str) else self._not_a_word(value))

    def _not_a_word(self, value: Any) -> str:
        words = list(self.words)
        return f"{shown(value)} is not a word; use one of: {', '.join(words[:30])}"


class Items(fields.List[Any], InputField[list[Any]]):
    """A list of `least` to `most` items. One of another length is refused unread."""

    kind = "list"
    default_error_messages: _Words = {**_REQUIRED, "invalid": "must be a list"}  # noqa: RUF012 - marshmallow's own way

    def __init__(self, inner: fields.Field[Any], least: int, most: int, **kwargs: Any) -> None:
        self.least, self.most = least, most
        super().__init__(inner, **kwargs)

    def _deserialize(self, value: Any, attr: str | None, data: Any, **kwargs: Any) -> list[Any]:
        if not isinstance(value, list | tuple):
            raise self.make_error("invalid")
        self.count(value)
        return super()._deserialize(value, attr, data, **kwargs)

    def held(self, value: Sequence[Any]) -> tuple[Any, ...]:
        """Give what was read as a tuple."""
        return tuple(value)

    def count(self, value: Sequence[Any]) -> None:
        """Raise `ValidationError` for a list of another length."""
        if not self.least <= len(value) <= self.most:
            raise ValidationError(f"has {counted(len(value), 'entry')}; {self.least} to {self.most} are allowed")


class Words(Items):
    """A list of different words of a closed list; with `single`, one word stands for a list of one."""

    kind = "words"
    default_error_messages: _Words = {"invalid": "must be a list of words"}  # noqa: RUF012 - marshmallow's own way

    def __init__(
        self,
        words: Collection[str],
        *,
        single: bool = False,
        least: int = 0,
        most: int | None = None,
        **kwargs: Any,
    ) -> None:
        self.single, self.words = single, words
        super().__init__(Word(words), least, len(words) if most is None else most, **kwargs)

    def _deserialize(self, value: Any, attr: str | None, data: Any, **kwargs: Any) -> list[Any]:
        if self.single and isinstance(value, str):
            return [self.inner.deserialize(value)]
        found = super()._deserialize(value, attr, data, **kwargs)
        if len(set(found)) != len(found):
            raise ValidationError("names a word twice")
        return sorted(found)


class CommaWords(Words):
    """Such a list in an address, as words with commas between."""

    def _deserialize(self, value: Any, attr: str | None, data: Any, **kwargs: Any) -> list[Any]:
        return super()._deserialize([word.strip() for word in str(value).split(",")], attr, data, **kwargs)


class Flag(InputField[bool]):
    """`true` or `false`, and nothing that resembles them."""

    kind = "flag"
    default_error_messages = _REQUIRED

    def _deserialize(self, value: Any, *_: Any, **__: Any) -> bool:
        if not isinstance(value, bool):
            raise ValidationError(f"{shown(value)} is neither true nor false")
        return value


class Number(InputField[float]):
    """A JSON number from `least` to `most`, read to `decimals` (0, 1, 2 or 4) places; a finer one is refused.

    `unit` is the one that it is in, where its key tells that.
    """

    kind = "number"
    default_error_messages = _REQUIRED

    def __init__(
        self,
        least: float,
        most: float,
        *,
        decimals: int = 1,
        allowed: str | None = None,
        unit: str | None = None,
        **kwargs: Any,
    ) -> None:
        self.least, self.most, self.decimals = least, most, decimals
        self.allowed = allowed or f"{least} to {most}"
        self.units = (unit,) if unit else ()
        super().__init__(**kwargs)

    @property
    def bounds(self) -> dict[str, float]:
        """Its ends, both included, and its decimals."""
        return {"least": self.least, "most": self.most, "decimals": self.decimals}

    def _deserialize(self, value: Any, *_: Any, **__: Any) -> float:
        if isinstance(value, bool) or not isinstance(value, int | float):
            raise ValidationError(f"{shown(value)} is not a number")
        if not self.least <= value <= self.most:
            raise ValidationError(f"{shown(value)} is out of range; {self.allowed} is allowed")
        if round(value, self.decimals) != value:
            raise ValidationError(
                f"{shown(value)} is not a whole number"
                if not self.decimals
                else f"{shown(value)} is finer than {_DECIMALS[self.decimals]}"
            )
        return int(value) if value == int(value) else value


class SizeField(InputField[Size]):
    """A conductor size, always with its unit."""

    kind = "size"
    default_error_messages = {"required": "is required", "null": "may not be null"}  # noqa: RUF012

    def _deserialize(self, value: Any, *_: Any, **__: Any) -> Size:
        if isinstance(value, int | float) and not isinstance(value, bool):
            value = shown(value)
        if not isinstance(value, str):
            raise ValidationError(f"{shown(value)} is not a size; write it like '12 AWG' or '2.5 mm2'")
        try:
            return size(value)
        except ValueError as error:
            raise ValidationError(str(error)) from None
