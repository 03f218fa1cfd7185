"""Maps with known keys only, read strictly: fast where all is right, again to tell every problem where it is not."""

from __future__ import annotations

import functools
import json
from collections.abc import Callable, Collection, Iterator, Mapping
from functools import cached_property
from typing import Any, ClassVar, TypeVar, cast

from marshmallow import EXCLUDE, Schema, ValidationError, fields, missing, validates_schema
from marshmallow.decorators import VALIDATES_SCHEMA
from marshmallow.exceptions import SCHEMA

from splicewright.json_pointer import join
from splicewright.memo import Memo
from splicewright.nearest_word import nearest
from splicewright.refusals import Problem, Refused, Says
from splicewright.strict_fields import InputField, Items, Word
from splicewright.units import Measured

_MOST_PARTS = 2_000  # remembered by each field
_LONGEST_PART = 2_000  # characters
_DEEPEST = 20  # maps and lists in one another
_MOST_KEYS = 20  # unknown keys told one by one
#: marshmallow's own sentences, for the fields that are not ours
_OWN_WORDS = {
    "Missing data for required field.": Says("is required", "missing"),
    "Field may not be null.": Says("may not be null", "wrong-type"),
    "Invalid input type.": Says("must be an object", "wrong-type"),
    "Not a valid list.": Says("must be a list", "wrong-type"),
}


_Made = TypeVar("_Made", bound=Schema)


class Strict(Schema):
    """A map with known keys only."""

    #: Keys for which what something else says is laid under a request that leaves them out, so that none has a default.
    laid: ClassVar[Collection[str]] = ()

    class Meta:
        """What marshmallow reads."""

        unknown = EXCLUDE  # told by `_known_keys`, which can name the nearest key

    error_messages = {"type": Says("must be an object", "wrong-type")}  # noqa: RUF012 - marshmallow's own way

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        if self.fields and all(field.required for field in self.fields.values()):
            self.error_messages["type"] = Says(f"must be an object with {', '.join(self.fields)}", "wrong-type")

    def read(self, given: Any) -> dict[str, Any]:
        """Read a map that is as it should be, by the same fields, without all that it takes to refuse one.

        Raises `ValidationError` where anything is wrong. It may be less than `load` has to say of it.
        """
        if self._checks_more:
            return cast("dict[str, Any]", self.load(given))
        if type(given) is not dict:
            raise ValidationError("is no map")
        found: dict[str, Any] = {}
        readers = self._readers
        for key, field in self.fields.items():
            if key in given:
                found[key] = (readers.get(key) or readers.setdefault(key, reader(field)))(given[key])
            elif field.required:
                raise ValidationError("lacks a key")
        if len(found) != len(given):
            raise ValidationError("has an unknown key")
        if self._defaults:
            found |= self._filled_in(found)
        for check, of_given in self._further:
            check(found, given) if of_given else check(found)
        return found

    def _filled_in(self, found: Mapping[str, Any]) -> dict[str, Any]:
        return {
            key: default() if callable(default) else default
            for key, default in self._defaults.items()
            if key not in found
        }

    @cached_property
    def _readers(self) -> dict[str, Callable[[Any], Any]]:
        """What reads the value of each key that was given so far."""
        return {}

    @cached_property
    def _defaults(self) -> dict[str, Any]:
        """What stands for a key that is not given."""
        each = {key: field.load_default for key, field in self.fields.items()}
        return {key: default for key, default in each.items() if default is not missing}

    @cached_property
    def _further(self) -> list[tuple[Callable[..., None], bool]]:
        """What else is checked of the whole map, and whether it is to see the map as given too."""
        hooks = self._hooks[VALIDATES_SCHEMA]
        return [(getattr(self, name), how["pass_original"]) for name, _, how in hooks if name != "_known_keys"]

    @cached_property
    def _checks_more(self) -> bool:
        """Whether something here is told neither by the fields nor by further checks."""
        return (
            type(self).load is not Schema.load
            or any(hooks for tag, hooks in self._hooks.items() if tag != VALIDATES_SCHEMA)
            or any(
                field.dump_only or field.data_key or field.attribute or field.pre_load or field.post_load
                for field in self.fields.values()
            )
        )

    @validates_schema(pass_original=True, skip_on_field_errors=False)
    def _known_keys(self, _data: Any, original: Any, **_: Any) -> None:
        if not isinstance(original, Mapping):
            return
        keys = [_Key(_printable(str(key))) for key in original if key not in self.fields]
        wrong: dict[str, list[Says]] = {key: [_unknown(key, self.fields)] for key in keys[:_MOST_KEYS]}
        if len(keys) > _MOST_KEYS:
            wrong[SCHEMA] = [Says(f"has {len(keys) - _MOST_KEYS} further unknown keys", "unknown-key")]
        if wrong:
            raise ValidationError(cast("Any", wrong))


class _Key(str):
    """A key as given, so that one called `_schema` is not taken for marshmallow's own."""

    __slots__ = ()


def _printable(text: str) -> str:
    return text.encode("utf-8", "backslashreplace").decode()


def _unknown(key: str, keys: Collection[str]) -> Says:
    guess = nearest(key, keys)
    told = f"did you mean {guess!r}?" if guess else f"known here: {', '.join(keys)}"
    return Says(f"unknown key; {told}", "unknown-key", guess, keys)


class QuantityField(fields.Nested, InputField[Any]):
    """A map of a `value` and its `unit`."""

    kind = "quantity"

    @property
    def units(self) -> Collection[str]:  # type: ignore[override]
        """The units that may be named."""
        unit = self.schema.fields["unit"]
        return unit.words if isinstance(unit, Word) else ()

    def held(self, value: Mapping[str, Any]) -> Measured:
        """Give what was read as a number with its unit."""
        return Measured(**value)


class ReadMap(dict[str, Any]):
    """A map that was read and is remembered. `made` is for whoever reads on: what was made of it is kept with it."""

    __slots__ = ("made",)

    def __init__(self, *args: Any) -> None:
        super().__init__(*args)
        self.made: Any = None


class Remembered(fields.Nested):
    """A map that is read once for each JSON text, as a `ReadMap`: the questions of a job differ in few of their parts.

    What was read is shared, so whoever gets it does not change it. What is refused is read again each time.
    """

    def __init__(self, nested: type[Strict], **kwargs: Any) -> None:
        super().__init__(nested, **kwargs)
        self._known: Memo[str, ReadMap] = Memo(_MOST_PARTS)

    def _deserialize(self, value: Any, *_: Any, **__: Any) -> Any:
        # Not orjson: it writes days, identifiers and the like as text, for which they would then be taken.
        try:
            text = json.dumps(value)
        except (TypeError, ValueError, RecursionError):
            return ReadMap(read_or_load(self.schema, value))
        found = self._known.get(text)
        if found is None:
            found = ReadMap(read_or_load(self.schema, value))
            if len(text) <= _LONGEST_PART:
                self._known.keep(text, found)
        return found


def stated(given: Any, depth: int = 0) -> Any:
    """Give what was sent without what is null in its maps: so clients write what is not stated. It is not changed."""
    if depth > _DEEPEST:  # no request goes so deep
        return given
    if isinstance(given, Mapping):
        found = {key: stated(value, depth + 1) for key, value in given.items() if value is not None}
        return given if len(found) == len(given) and all(found[key] is given[key] for key in found) else found
    if isinstance(given, list):
        items = [stated(item, depth + 1) for item in given]
        return given if all(one is item for one, item in zip(items, given, strict=True)) else items
    return given


class Later(fields.Nested):
    """A part that is taken as it is, and read on its own later."""

    def deserialize(self, value: Any, *_: Any, **__: Any) -> Any:
        """Give it back unread."""
        return value

    def _deserialize(self, value: Any, *_: Any, **__: Any) -> Any:
        return value


def reader(field: fields.Field[Any]) -> Callable[[Any], Any]:
    """Give what reads values of a field: what kind of field it is is looked up once.

    It raises `ValidationError` where a value is wrong, or null.
    """
    take, checks = _taker(field), field.validators

    def read(value: Any) -> Any:
        if value is None:
            if field.allow_none:
                return None
            raise ValidationError("may not be null")
        found = take(value, None, None)
        for check in checks:
            check(found)
        return found

    return read


def _taker(field: fields.Field[Any]) -> Callable[[Any, None, None], Any]:
    """Give what takes a value that is given: the field itself, where it is no map or list that is read by parts."""
    if type(field) in (fields.Nested, QuantityField):
        nested = cast("fields.Nested", field)
        if isinstance(nested.schema, Strict) and not nested.many:
            of_map = nested.schema.read
            return lambda value, *_: of_map(value)
    if type(field) is fields.List or type(field) is Items:
        of_item, count = reader(field.inner), field.count if isinstance(field, Items) else None

        def items(value: Any, *_: None) -> list[Any]:
            if type(value) is not list:
                raise ValidationError("is no list")
            if count:
                count(value)
            return list(map(of_item, value))

        return items
    return field._deserialize  # noqa: SLF001 - what `deserialize` calls for a value that is given


def read_or_load(schema: Schema, value: Any) -> Any:
    """Read `value` by `schema`. Raises `ValidationError`, which tells every problem."""
    if isinstance(schema, Strict):
        try:
            return schema.read(value)
        except ValidationError:
            pass  # read again below, to tell every problem
    return schema.load(value)


def defaults_of(schema: type[Strict]) -> dict[str, Any]:
    """Give what is assumed of a map where a key is left out, as its fields declare it, in their order."""
    fields_of = made_once(schema).fields
    return {key: field.metadata["default"] for key, field in fields_of.items() if "default" in field.metadata}


def laid_over(schema: type[_Made], about: str, keys: Collection[str] | None = None) -> type[_Made]:
    """Make a schema that reads the same, for a map over something that says `keys` (all, if none are told) under it."""
    said = tuple(made_once(schema).fields) if keys is None else tuple(keys)
    return cast("type[_Made]", type(f"Laid{schema.__name__}", (schema,), {"laid": said, "__doc__": about}))


def made_once(of: type[_Made], **options: Any) -> _Made:
    """Give the schema of a class, made once for the same options (hashable, such as `only`)."""
    return cast("_Made", _made(of, **options))


@functools.cache
def _made(of: type[Schema], **options: Any) -> Schema:
    return of(**options)


def load(schema: Schema, value: Any) -> Any:
    """Read `value` by `schema`. Raises `Refused` with a pointer for each problem, in their order."""
    try:
        return read_or_load(schema, value)
    except ValidationError as error:
        raise Refused(sorted(problems(error.messages), key=lambda p: p.pointer)) from None


def problems(messages: Any, pointer: str = "") -> Iterator[Problem]:
    """Turn a schema's nested messages into problems with JSON Pointers."""
    if isinstance(messages, Mapping):
        for key, inner in messages.items():
            own = key == SCHEMA and not isinstance(key, _Key)
            yield from problems(inner, pointer if own else join(pointer, key))
    elif isinstance(messages, list):
        for inner in messages:
            yield from problems(inner, pointer)
    else:
        yield Problem(pointer, messages if isinstance(messages, Says) else _OWN_WORDS.get(str(messages), str(messages)))
