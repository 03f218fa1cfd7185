"""What a check adds to a question: a splice as it was, or is to be, made up.

It stands here, not with the checks, because the examples of rules hold proposals too.
"""

from __future__ import annotations

import functools
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

import orjson
from marshmallow import ValidationError, validates_schema

from splicewright.question import vocabulary as v
from splicewright.refusals import Says, shown
from splicewright.strict_fields import Flag, InputField, Number, Text, Word, Words, about
from splicewright.strict_schema import QuantityField, Strict, load, made_once
from splicewright.units import Measured

Said = bool | Measured


class StripSchema(Strict):
    """A length with its unit, read exactly as it is written."""

    value = Number(0, 2000, decimals=None, required=True, metadata=about("The number, in the unit named."))
    unit = Word(v.STRIP_UNITS, required=True, metadata=about("The unit of the number."))


class TorqueSchema(Strict):
    """A torque with its unit."""

    value = Number(0, 10_000, decimals=None, required=True, metadata=about("The number, in the unit named."))
    unit = Word(
        v.TORQUE_UNITS,
        required=True,
        metadata=about("The unit of the number: newton metres, pound-force inches or pound-force feet."),
    )


class FlagOrLength(InputField[Any]):
    """`true`, `false`, or a length like `{value: 3, unit: mm}`."""

    kind = "flag-or-quantity"
    units = v.STRIP_UNITS

    def _deserialize(self, value: Any, *_: Any, **__: Any) -> Any:
        if isinstance(value, bool):
            return value
        if not isinstance(value, Mapping):
            says = f"{shown(value)} is neither true nor false, nor a length like {{value: 3, unit: mm}}"
            raise ValidationError(Says(says, "wrong-type"))
        return _strip().load(value)


@functools.cache
def _strip() -> StripSchema:
    return StripSchema()


class ProposalSchema(Strict):
    """A proposed splice: its connector, or its method where the connector is not known, and how it was made up.

    What is left out is not said; what a rule asks and the proposal does not say is unproven.
    """

    connector = Text(100, metadata=about("The connector's id in the catalogue."))
    method = Word(
        v.METHODS,
        metadata=about(
            "The method, where it is not known which connector.",
            asked_if={"connector": False},
            required_if={"connector": False},
        ),
    )
    strip = QuantityField(StripSchema, metadata=about("How long the ends were stripped."))
    pre_twisted = Flag(metadata=about("Whether the ends were twisted together before the connector went on."))
    lead_advance = FlagOrLength(
        metadata=about("Whether, or how far, the stranded lead stood ahead of the solid one in a twist-on connector.")
    )
    inhibitor = Flag(metadata=about("Whether aluminum was brushed and coated, or the connector is prefilled."))
    torque = QuantityField(TorqueSchema, metadata=about("What the screw or nut was tightened to."))
    tugged = Flag(metadata=about("Whether each conductor was pulled on its own, and held."))
    taped = Flag(metadata=about("Whether tape was wound on the way the connector tightens."))
    tied = Flag(metadata=about("Whether the conductors were tied together close behind the connector."))
    strain_relief = Flag(metadata=about("Whether what pulls on the conductors is held ahead of the joint."))
    covered = Flag(
        metadata=about("Whether a bare connector and all bare metal were covered with insulation equal to the wires'.")
    )
    sealed = Flag(metadata=about("Whether the seal was closed as its sheet says, with sealant all round."))
    reused = Flag(metadata=about("Whether the connector was used before."))
    signs = Words(v.SIGNS, metadata=about("Signs of a bad joint that were seen."))

    @validates_schema
    def _some_connector(self, data: Mapping[str, Any], **_: Any) -> None:
        if "connector" not in data and "method" not in data:
            says = "names neither connector nor method; write the connector's id, or the method where it is not known"
            raise ValidationError(Says(says, "missing"))


@dataclass(frozen=True, slots=True)
class Proposal:
    """A proposed splice as read. `said` has only what it says, by the words of the vocabulary."""

    connector: str | None
    method: str | None
    said: Mapping[str, Said] = field(default_factory=dict)
    signs: tuple[str, ...] = ()

    def to_dict(self) -> dict[str, Any]:
        """Give it as JSON has it, its keys and signs in one order."""
        named = {"connector": self.connector, "method": self.method}
        found: dict[str, Any] = {name: word for name, word in named.items() if word is not None}
        found |= {word: said_plain(self.said[word]) for word in v.PROPOSED if word in self.said}
        return {**found, "signs": list(self.signs)} if self.signs else found

    def canonical(self) -> bytes:
        """Give it as bytes that are the same only for what says the same."""
        return orjson.dumps(self.to_dict(), option=orjson.OPT_SORT_KEYS)


def said_plain(said: Said) -> Any:
    """Give what was said as JSON has it."""
    return {"value": said.value, "unit": said.unit} if isinstance(said, Measured) else said


def proposal_of(found: Mapping[str, Any]) -> Proposal:
    """Make a Proposal of what `ProposalSchema` loaded."""
    said = {word: found[word] for word in v.PROPOSED if word in found}
    return Proposal(
        connector=found.get("connector"),
        method=found.get("method"),
        said={word: Measured(**one) if isinstance(one, dict) else one for word, one in said.items()},
        signs=tuple(found.get("signs", ())),
    )


def read_proposal(given: Any) -> Proposal:
    """Read a proposal. Raises `Refused` with every problem, its pointers into the proposal."""
    return proposal_of(load(made_once(ProposalSchema), given))
