"""Schema fields that take a value as it is or refuse it with the nearest right word; none is converted."""

from __future__ import annotations

import re
from collections.abc import Collection, Mapping, Sequence
from decimal import ROUND_CEILING, ROUND_FLOOR, ROUND_HALF_EVEN, Decimal
from typing import Any, ClassVar, Literal, TypeVar

from marshmallow import ValidationError, fields

from splicewright.refusals import Says, not_allowed, shown
from splicewright.units import Size, counted, size, sizes_meant

T = TypeVar("T")
_Words = dict[str, str | list[Any] | dict[Any, Any]]
_REQUIRED: _Words = {
    "required": Says("is required", "missing"),
    "null": Says("may not be null", "wrong-type"),
    "invalid": Says("must be an object", "wrong-type"),
}
_NOISE = Decimal("1e-9")  # of a decimal place
_DECIMALS = {1: "one decimal", 2: "two decimals", 4: "four decimals"}


#: Words that other parts must have, by their names beside a part or their pointers from the question; True where one
#: must be stated at all, False where it must be left out.
Condition = Mapping[str, Collection[str] | bool]


def about(
    says: str,
    *,
    label: str | None = None,
    asked_if: Condition | None = None,
    required_if: Condition | None = None,
    default: Any = None,
) -> dict[str, Any]:
    """Give the metadata of a field that is described so: what the API's document and forms tell of it.

    `default` is what is assumed where it is left out, whatever else is said. `label` stands before it in a form where
    its name does not do. A form asks for it only where all words of `asked_if` hold, and must where those of
    `required_if` do.
    """
    form = {"default": default, "label": label, "asked_if": asked_if, "required_if": required_if}
    return {"description": says, **{key: told for key, told in form.items() if told is not None}}


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
            raise ValidationError(Says(f"{shown(value)} is not text", "wrong-type"))
        if len(value) > self.longest:
            says = f"is {len(value)} characters long; at most {self.longest} are allowed"
            raise ValidationError(Says(says, "too-long"))
        if not value.isascii() and any("\ud800" <= c <= "\udfff" for c in value):
            raise ValidationError(Says("holds half a character (a lone surrogate)", "wrong-type"))
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

    def _not_a_word(self, value: Any) -> Says:
        words = list(self.words)
        says = f"{shown(value)} is not a word; use one of: {', '.join(words[:30])}"
        return Says(says, "wrong-type", None, words[:100])


class Items(fields.List[Any], InputField[list[Any]]):
    """A list of `least` to `most` items. One of another length is refused unread."""

    kind = "list"
    default_error_messages: _Words = {**_REQUIRED, "invalid": Says("must be a list", "wrong-type")}  # noqa: RUF012 - marshmallow's own way

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
            says = f"has {counted(len(value), 'entry')}; {self.least} to {self.most} are allowed"
            raise ValidationError(Says(says, "wrong-count"))


class Words(Items):
    """A list of different words of a closed list; with `single`, one word stands for a list of one."""

    kind = "words"
    default_error_messages: _Words = {"invalid": Says("must be a list of words", "wrong-type")}  # noqa: RUF012 - marshmallow's own way

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
            raise ValidationError(Says("names a word twice", "twice"))
        return sorted(found)


#: As JSON Schema has it: a free word.
TAG_PATTERN = "^[a-z0-9]+(-[a-z0-9]+)*$"
TAG = re.compile(TAG_PATTERN[:-1] + r"\Z")


class TagText(Text):
    """A free word: small letters, digits, hyphens between them."""

    kind = "tag"

    def _deserialize(self, value: Any, *more: Any, **kwargs: Any) -> str:
        found = super()._deserialize(value, *more, **kwargs)
        if TAG.match(found):
            return found
        meant = "-".join(re.findall("[a-z0-9]+", found.lower()))
        says = f"{shown(value)} is no tag: small letters, digits, and hyphens between them"
        raise ValidationError(Says(f"{says}; write {meant}" if meant else says, "not-valid", meant or None))


class Tags(Items):
    """A list of different free words."""

    kind = "tags"

    def __init__(self, most: int, **kwargs: Any) -> None:
        super().__init__(TagText(40), 0, most, **kwargs)

    def _deserialize(self, value: Any, attr: str | None, data: Any, **kwargs: Any) -> list[Any]:
        found = super()._deserialize(value, attr, data, **kwargs)
        if len(set(found)) != len(found):
            raise ValidationError(Says("names a tag twice", "twice"))
        return sorted(found)


class CommaWords(Words):
    """Such a list in an address: words with commas between, or the parameter once for each."""

    def _deserialize(self, value: Any, attr: str | None, data: Any, **kwargs: Any) -> list[Any]:
        return super()._deserialize([word.strip() for word in str(value).split(",")], attr, data, **kwargs)


class CommaTexts(Items):
    """A list of texts in an address: with commas between."""

    def _deserialize(self, value: Any, attr: str | None, data: Any, **kwargs: Any) -> list[Any]:
        return super()._deserialize([each.strip() for each in str(value).split(",")], attr, data, **kwargs)


class Flag(InputField[bool]):
    """`true` or `false`, and nothing that resembles them."""

    kind = "flag"
    default_error_messages = _REQUIRED

    def _deserialize(self, value: Any, *_: Any, **__: Any) -> bool:
        if not isinstance(value, bool):
            raise ValidationError(Says(f"{shown(value)} is neither true nor false", "wrong-type"))
        return value


class Number(InputField[float]):
    """A JSON number from `least` to `most`, read to `decimals` (0, 1, 2 or 4) places; None reads it as it is.

    A finer one is refused, but one that has a `safe` side, `up` or `down`, may be `rounded` to that side first. `unit`
    is the one that it is in, where its key tells that.
    """

    kind = "number"
    default_error_messages = _REQUIRED

    def __init__(
        self,
        least: float,
        most: float,
        *,
        decimals: int | None = 1,
        safe: Literal["up", "down"] | None = None,
        allowed: str | None = None,
        unit: str | None = None,
        **kwargs: Any,
    ) -> None:
        self.least, self.most, self.decimals, self.safe = least, most, decimals, safe
        self.allowed = allowed or f"{least} to {most}"
        self.units = (unit,) if unit else ()
        super().__init__(**kwargs)

    @property
    def bounds(self) -> dict[str, float]:
        """Its ends, both included, and its decimals."""
        found = {"least": self.least, "most": self.most}
        return found if self.decimals is None else {**found, "decimals": self.decimals}

    def rounded(self, value: float) -> float | None:
        """Give a number that is finer than is read, rounded to its safe side; None where it is not, or there is none.

        What is off by less than a billionth of a decimal place is what arithmetic in floating point leaves over: it is
        rounded to the nearest.
        """
        if self.safe is None or self.decimals is None or not self.least <= value <= self.most:
            return None
        exact, place = Decimal(str(value)), Decimal(1).scaleb(-self.decimals)
        nearest = exact.quantize(place, ROUND_HALF_EVEN)
        if exact == nearest:
            return None
        side = {"up": ROUND_CEILING, "down": ROUND_FLOOR}[self.safe]
        found = nearest if abs(exact - nearest) < place * _NOISE else exact.quantize(place, side)
        return int(found) if found == int(found) else float(found)

    def _deserialize(self, value: Any, *_: Any, **__: Any) -> float:
        if isinstance(value, bool) or not isinstance(value, int | float):
            raise ValidationError(Says(f"{shown(value)} is not a number", "wrong-type"))
        if not self.least <= value <= self.most:
            raise ValidationError(Says(f"{shown(value)} is out of range; {self.allowed} is allowed", "out-of-range"))
        if self.decimals is not None and round(value, self.decimals) != value:
            if not self.decimals:
                raise ValidationError(Says(f"{shown(value)} is not a whole number", "wrong-type"))
            raise ValidationError(Says(f"{shown(value)} is finer than {_DECIMALS[self.decimals]}", "too-fine"))
        return int(value) if value == int(value) else value


class SizeField(InputField[Size]):
    """A conductor size, always with its unit."""

    kind = "size"
    default_error_messages = {"required": Says("is required", "missing"), "null": Says("may not be null", "wrong-type")}  # noqa: RUF012

    def _deserialize(self, value: Any, *_: Any, **__: Any) -> Size:
        if isinstance(value, int | float) and not isinstance(value, bool):
            value = shown(value)
        if not isinstance(value, str):
            says = f"{shown(value)} is not a size; write it like '12 AWG' or '2.5 mm2'"
            raise ValidationError(Says(says, "not-a-size"))
        try:
            return size(value)
        except ValueError as error:
            raise ValidationError(Says(str(error), "not-a-size", None, sizes_meant(value))) from None
