"""A leaf of a question is declared once, on the attribute of the model that holds it (`question/model.py`).

From that come the schemas that read it, its default and note in `assumed`, the fact that rules test, the column of a
table, the parts of forms and of the API's document, and what tests draw.
"""

from __future__ import annotations

import copy
import dataclasses
import functools
from collections.abc import Callable, Collection, Mapping
from typing import Any, cast

from marshmallow import ValidationError, fields, validates_schema

from splicewright.question import vocabulary as v
from splicewright.refusals import Says, shown
from splicewright.strict_fields import InputField, Number, Word, about
from splicewright.strict_schema import Strict
from splicewright.units import whole


@dataclasses.dataclass(frozen=True, slots=True)
class Leaf:
    """How a leaf is read, and what stands for it where it is not given.

    `default` is as a caller would write it; None where nothing is assumed. What depends on other leaves is a function
    of its part as given, and may give None.
    """

    name: str
    field: InputField[Any]
    default: Any

    @property
    def depends(self) -> bool:
        """Whether its default depends on other leaves."""
        return callable(self.default)


def leaf(
    field: InputField[Any], *, about: str, default: Any | Callable[[Mapping[str, Any]], Any] = None, **form: Any
) -> Any:
    """Declare an attribute of a part of a question: how it is read, what it tells, and its `default` (see `Leaf`).

    `form` is what forms are told of it beside (`strict_fields.about`): its `label`, `asked_if` and `required_if`.
    """
    # Where it has to be given under a condition, nothing is assumed then.
    plain = {} if default is None or callable(default) or "required_if" in form else {"default": default}
    field.metadata = {"description": about, **plain, **form}
    more: dict[str, Any] = {}
    if not field.required and not callable(default):
        more["default"] = None if default is None else field.held(default)
    return dataclasses.field(metadata={"field": field, "default": default}, **more)


@functools.cache
def leaves_of(part: type) -> Mapping[str, Leaf]:
    """Give the leaves of a part by their names, in their order."""
    return {attribute.name: Leaf(attribute.name, **attribute.metadata) for attribute in dataclasses.fields(part)}


def schema_of(
    part: type, *, without: Collection[str] = (), required: bool = True, base: type[Strict] = Strict
) -> type[Strict]:
    """Make the schema that reads a part, described as the part is, or its leaves but for those `without`.

    Where they are not `required`, none of them is.
    """
    read: dict[str, fields.Field[Any]] = {}
    for name, leaf in leaves_of(part).items():
        if name not in without:
            read[name] = copy.copy(leaf.field)
            read[name].required = required and leaf.field.required
    schema: Any = base.from_dict(read, name=f"{part.__name__}Schema")
    schema.__doc__ = part.__doc__
    return cast("type[Strict]", schema)


# --- leaves with a unit ----------------------------------------------------------------------

_DEGREES = "-60 to 200 degC (-76 to 392 degF)"
_COLDEST, _HOTTEST = whole(-60, "degC"), whole(200, "degC")


class LengthSchema(Strict):
    """A length with its unit. A finer one counts as the shorter: cover and free length must be at least so long."""

    value = Number(0, 30_000, safe="down", required=True, metadata=about("The number, in the unit named."))
    unit = Word(v.LENGTH_UNITS, required=True, metadata=about("The unit of the number."))


class TemperatureSchema(Strict):
    """A temperature with its unit. A finer one counts as the hotter."""

    value = Number(
        -76,
        392,
        safe="up",
        allowed=_DEGREES,
        required=True,
        metadata=about(f"The number, in the unit named: {_DEGREES}."),
    )
    unit = Word(v.TEMPERATURE_UNITS, required=True, metadata=about("The unit of the number."))

    @validates_schema
    def _within(self, data: Any, **_: Any) -> None:
        if not _COLDEST <= whole(data["value"], data["unit"]) <= _HOTTEST:
            says = f"{shown(data['value'])} {data['unit']} is out of range; {_DEGREES} is allowed"
            raise ValidationError(Says(says, "out-of-range"), "value")
