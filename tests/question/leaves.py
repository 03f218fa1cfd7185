"""Every leaf of a question by its name, such as `place.exposure`, as the model declares it: for what tests draw."""

from __future__ import annotations

import functools
import typing
from collections.abc import Mapping
from typing import Any

from splicewright.question.fact_kinds import FactKind
from splicewright.question.leaf import Leaf, leaves_of
from splicewright.question.model import Circuit, Conductor, Joint, Place, Work
from splicewright.units import whole

PARTS: Mapping[str, type] = {"joint": Joint, "conductor": Conductor, "place": Place, "circuit": Circuit, "work": Work}


#: Words that tests write where anyone may write their own.
TAGS = ("deck", "island", "kitchen", "phase-2")


def words_of(kind: FactKind) -> tuple[str, ...]:
    """Give the words that a fact may have, or of free ones those that tests write."""
    return TAGS if kind.open else kind.words


@functools.cache
def every() -> Mapping[str, Leaf]:
    """Give every leaf; the joint's conductors, which have leaves of their own, are none."""
    found = {f"{part}.{name}": leaf for part, of in PARTS.items() for name, leaf in leaves_of(of).items()}
    return {name: leaf for name, leaf in found.items() if leaf.field.kind != "list"}


@functools.cache
def may_be_unsaid(name: str) -> bool:
    """Tell whether a question may have no value for it, neither given nor assumed: None, in the model."""
    part, _, leaf = name.partition(".")
    return type(None) in typing.get_args(typing.get_type_hints(PARTS[part])[leaf])


def pointer_of(name: str) -> str:
    """Give the place of a leaf in a question, of the first conductor where it is a conductor's."""
    return "/" + name.replace("conductor.", "joint.conductors.0.").replace(".", "/")


def ends(name: str) -> tuple[int, int]:
    """Give the least and the most that a number may be, in base units, whatever unit it is written in."""
    field: Any = every()[name].field
    bounds: Any = field.schema.fields["value"] if field.kind == "quantity" else field
    if not field.units:
        return bounds.least, bounds.most
    return (
        min(whole(bounds.least, unit) for unit in field.units),
        max(whole(bounds.most, unit) for unit in field.units),
    )


def another(name: str) -> Any:
    """Give a value that is not the default."""
    leaf = every()[name]
    field: Any = leaf.field
    match field.kind:
        case "word":
            return next(word for word in field.words if word != leaf.default)
        case "words":
            return [next(iter(field.words))]
        case "flag":
            return leaf.default is not True
        case "number":
            return next(value for value in (field.most, field.least) if value != leaf.default)
        case "quantity":
            return {"value": 40, "unit": next(iter(field.units))}
        case kind:
            return {"size": "12 AWG", "text": "B", "tags": ["kitchen"]}[kind]
