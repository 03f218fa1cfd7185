"""Every request as a form: its groups and parts in their order, each with all that a form needs to ask for it.

Found by walking the schemas that read requests, so that nothing offered is refused and nothing taken is left out.
"""

from __future__ import annotations

import functools
import importlib
from collections.abc import Collection, Mapping
from dataclasses import dataclass, field
from typing import Any

from marshmallow import Schema, fields

from splicewright.question.proposal import FlagOrLength, StripSchema
from splicewright.strict_fields import Condition, InputField, Items, Number, Words
from splicewright.strict_schema import QuantityField, Strict

_CALLS: tuple[tuple[str, str, str], ...] = (
    ("/v1/choices", "splicewright.question.schema", "QuestionSchema"),
    ("/v1/checks", "splicewright.inspection.schema", "CheckSchema"),
    ("/v1/boxes", "splicewright.box.schema", "BoxFillSchema"),
    ("/v1/jobs", "splicewright.job.schema", "JobSchema"),
)


@dataclass(frozen=True, slots=True)
class FormGroup:
    """An object of a request: its parts stand together. In its pointer `*` is any place of a list or name of a map."""

    pointer: str
    label: str
    about: str
    required: bool
    laid: bool  # whether what it leaves out is as something else says, that it is laid over
    repeated: Mapping[str, Any] = field(default_factory=dict)  # how often, where it stands in a list or map
    required_if: tuple[Mapping[str, Any], ...] = ()

    def to_dict(self) -> dict[str, Any]:
        """Write it as JSON has it."""
        found = {"pointer": self.pointer, "label": self.label, "about": self.about, "required": self.required}
        found |= {"laid": self.laid, **self.repeated}
        return {**found, "required_if": [dict(one) for one in self.required_if]} if self.required_if else found


@dataclass(frozen=True, slots=True)
class FormPart:
    """A leaf of a request, and the pointer of the group that it stands in."""

    pointer: str
    group: str
    label: str
    field: InputField[Any]
    required: bool
    laid: bool  # whether what something else says is laid under it, so that it has no default of its own
    asked_if: tuple[Mapping[str, Any], ...] = ()
    required_if: tuple[Mapping[str, Any], ...] = ()

    @property
    def kind(self) -> str:
        """What it holds, as `InputField.kind` has it; of a list of texts, `text`."""
        return _inner(self.field).kind

    def to_dict(self, order: int, words: str | None) -> dict[str, Any]:
        """Write it as JSON has it; `words` is the name of the list that its words are of."""
        told = self.field.metadata
        found: dict[str, Any] = {"pointer": self.pointer, "group": self.group, "order": order, "label": self.label}
        found |= {"about": self.field.about, "kind": self.kind, "required": self.required}
        found["several"] = isinstance(self.field, Items)
        if words is not None:
            found["list"] = words
        found |= _bounds(_inner(self.field))
        if "default" in told and not self.laid:
            found["assumed"] = told["default"]
        for key, conditions in (("asked_if", self.asked_if), ("required_if", self.required_if)):
            if conditions:
                found[key] = [dict(one) for one in conditions]
        return found


@dataclass(slots=True)
class Form:
    """The body of a call."""

    call: str
    groups: list[FormGroup] = field(default_factory=list)
    parts: list[FormPart] = field(default_factory=list)


@functools.cache
def forms() -> tuple[Form, ...]:
    """Give the form of each call."""
    return tuple(
        _form(call, made)
        for call, module, name in _CALLS
        for made in [getattr(importlib.import_module(module), name)()]
    )


def _form(call: str, schema: Strict) -> Form:
    found = Form(call)
    whole = FormGroup("", _label(call.rpartition("/")[2]), str(schema.__doc__), required=True, laid=False)
    _walk(found, schema, whole, "")
    return found


def _walk(found: Form, schema: Schema, group: FormGroup, root: str) -> None:
    """Add a group and all that is in it. `root` leads to the question, box or job whose parts conditions name."""
    found.groups.append(group)
    laid = schema.laid if isinstance(schema, Strict) else ()
    for name, of_part in schema.fields.items():
        pointer = f"{group.pointer}/{name}"
        nested = _nested(of_part)
        if nested is not None:
            inner, repeated = nested
            pointer += "/*" if repeated else ""
            about = str(of_part.metadata.get("description", ""))
            starts = pointer if "joint" in inner.fields or "wires" in inner.fields else root
            required = of_part.required and bool(repeated.get("least", 1))
            over = isinstance(inner, Strict) and bool(inner.laid)
            must = _conditions(of_part.metadata.get("required_if"), group.pointer, root)
            _walk(found, inner, FormGroup(pointer, _told(of_part, name), about, required, over, repeated, must), starts)
        elif isinstance(of_part, InputField):
            conditions = (
                _conditions(of_part.metadata.get(key), group.pointer, root) for key in ("asked_if", "required_if")
            )
            label = _told(of_part, name)
            found.parts.append(
                FormPart(pointer, group.pointer, label, of_part, of_part.required, name in laid, *conditions)
            )


def _nested(of_part: fields.Field[Any]) -> tuple[Schema, dict[str, Any]] | None:
    """Give the schema of an object, of the objects of a list or of those of a map; and how many there may be."""
    inner = getattr(of_part, "inner", None)
    if isinstance(of_part, fields.Nested) and not isinstance(of_part, QuantityField):
        return of_part.schema, {}
    if not isinstance(inner, fields.Nested):
        return None
    if isinstance(of_part, Items):
        return inner.schema, {"repeated": "list", "least": of_part.least, "most": of_part.most}
    return inner.schema, {"repeated": "map"}


def _conditions(told: Condition | None, beside: str, root: str) -> tuple[dict[str, Any], ...]:
    return tuple(_condition(name, words, beside, root) for name, words in (told or {}).items())


def _condition(name: str, words: Collection[str] | bool, beside: str, root: str) -> dict[str, Any]:
    pointer = f"{root}{name}" if name.startswith("/") else f"{beside}/{name}"
    return {"pointer": pointer, **({"stated": words} if isinstance(words, bool) else {"is": list(words)})}


def _inner(of_part: InputField[Any]) -> InputField[Any]:
    """Give what a list holds, where that is no closed list of words."""
    if isinstance(of_part, Items) and not isinstance(of_part, Words) and isinstance(of_part.inner, InputField):
        return of_part.inner
    return of_part


def _bounds(of_part: InputField[Any]) -> dict[str, Any]:
    """Write the ends of a number and the like; of a quantity those of its number, with its units."""
    schema = of_part.schema if isinstance(of_part, QuantityField) else None
    if isinstance(of_part, FlagOrLength):
        schema = StripSchema()
    number = of_part if schema is None else schema.fields["value"]
    found: dict[str, Any] = dict(number.bounds) if isinstance(number, InputField) else {}
    if isinstance(number, Number) and number.safe is not None:
        found["rounded"] = number.safe
    if of_part.units:
        found["units"] = list(of_part.units)
    return found


def _told(of_part: fields.Field[Any], name: str) -> str:
    return str(of_part.metadata.get("label") or _label(name))


def _label(name: str) -> str:
    return name.replace("_", " ").capitalize()
