"""What a job may hold. Nothing is converted or ignored; joints and boxes are read one by one, on their own."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from typing import Any

from marshmallow import ValidationError, fields, validates_schema

from splicewright.box.schema import BoxFillSchema
from splicewright.codes import codes
from splicewright.job.model import FEWEST_TYPES, LEAST_COST, MONEY_STEPS, Price
from splicewright.question import vocabulary as v
from splicewright.question.answer_vocabulary import EXPLAIN, JOB_INCLUDE
from splicewright.question.model import MOST_CONDUCTORS, MOST_TAGS
from splicewright.question.proposal import ProposalSchema
from splicewright.question.schema import (
    BY_PROJECT,
    CatalogueName,
    JointSchema,
    LaidCircuitSchema,
    LaidPlaceSchema,
    LaidWorkSchema,
    OnlySchema,
    amendments,
)
from splicewright.refusals import Says
from splicewright.strict_fields import Flag, Items, Number, SizeField, Tags, Text, Word, Words, about
from splicewright.strict_schema import Later, Remembered, Strict, defaults_of

MOST_JOINTS = 50_000
MOST_BOXES = 10_000
MOST_QUANTITY = 1_000_000
MOST_PRICES = 2_000  # as many connectors as a catalogue may have
MOST_PRICE = 1_000_000
MOST_EFFORT = 10
AIMS = {
    FEWEST_TYPES: "as few connector types as will do",
    LEAST_COST: "as little money as will do",
}


_SINGLY, _IN_PACKS = {"pack": False}, {"pack": True}


class PriceSchema(Strict):
    """What one connector costs: each, or in whole packs."""

    each = Number(
        0,
        MOST_PRICE,
        decimals=4,
        safe="up",
        metadata=about("The price of one, sold singly.", asked_if=_SINGLY, required_if=_SINGLY),
    )
    pack = Number(
        0,
        MOST_PRICE,
        decimals=4,
        safe="up",
        metadata=about("The price of a pack, sold whole.", asked_if={"each": False}),
    )
    of = Number(
        1,
        MOST_QUANTITY,
        decimals=0,
        metadata=about("How many are in a pack.", asked_if=_IN_PACKS, required_if=_IN_PACKS),
    )

    @validates_schema(skip_on_field_errors=True)
    def _one_way(self, data: Mapping[str, Any], **_: Any) -> None:
        if set(data) not in ({"each"}, {"pack", "of"}):
            raise ValidationError("gives either each, or pack with of; write {each: 0.12} or {pack: 9.50, of: 50}")


def price_of(written: Mapping[str, Any]) -> Price:
    """Give a price as it is written: of one (`each`), or of a `pack` and how many are in it (`of`)."""
    amount = written.get("pack", written.get("each"))
    return Price(int(Decimal(str(amount)) * MONEY_STEPS), written.get("of", 1))


class Prices(fields.Field[dict[str, Price]]):
    """Prices by connector id."""

    default_error_messages = {"null": Says("may not be null", "wrong-type")}  # noqa: RUF012 - marshmallow's way

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.inner = fields.Nested(PriceSchema)

    def _deserialize(self, value: Any, *_: Any, **__: Any) -> dict[str, Price]:
        if not isinstance(value, Mapping):
            raise ValidationError(Says("must be an object of prices by connector id", "wrong-type"))
        if len(value) > MOST_PRICES:
            says = f"has {len(value):,} prices; at most {MOST_PRICES:,} are allowed"
            raise ValidationError(Says(says, "wrong-count"))
        found: dict[str, Price] = {}
        wrong: dict[str, Any] = {}
        for key, one in value.items():
            try:
                read: Any = self.inner.deserialize(one)
            except ValidationError as error:
                wrong[str(key)] = error.messages
            else:
                found[str(key)] = price_of(read)
        if wrong:
            raise ValidationError(wrong)
        return found


class StockSchema(Strict):
    """What is carried, what connectors cost, and what the plan aims at."""

    carry = Items(
        Text(100),
        0,
        1000,
        metadata=about(
            "Connector ids that are carried already: they may be used, and count as no further type.", default=[]
        ),
    )
    aim = Word(AIMS, metadata=about("What the plan aims at.", default=FEWEST_TYPES))
    prices = Prices(
        metadata=about(
            "Prices by connector id, each {each} or {pack, of}. Plain numbers to four decimals. For the least cost "
            "those of the catalogue stand where none is given."
        )
    )
    spare_percent = Number(
        0,
        100,
        safe="up",
        metadata=about("Spares for each connector, in percent of its count, rounded up.", default=0),
    )
    effort = Number(
        1,
        MOST_EFFORT,
        decimals=0,
        metadata=about(
            "How much work the plan may take, counted, not timed: 1 is a few seconds of a processor at most. Where it "
            "is used up, the plan tells its gap, and more effort may close it.",
            default=1,
        ),
    )


class DefaultsSchema(Strict):
    """What is laid under each joint and box that does not say otherwise, leaf by leaf."""

    place = fields.Nested(LaidPlaceSchema, metadata=about("Where joints are."))
    circuit = fields.Nested(LaidCircuitSchema, metadata=about("What joints are part of."))
    work = fields.Nested(LaidWorkSchema, metadata=about("What kind of work it is."))


class PigtailSchema(Strict):
    """Which of the joint's conductors are pigtails or jumpers, cut from wire and counted."""

    size = SizeField(required=True, metadata=about("The conductor's size with its unit, such as 12 AWG."))
    count = Number(1, MOST_CONDUCTORS, decimals=0, metadata=about("How many in one joint.", default=1))
    role = Word(v.ROLE, metadata=about("What it serves as.", default="ungrounded"))
    material = Word(v.MATERIAL, metadata=about("Its metal.", default="copper"))


PIGTAIL_DEFAULTS = defaults_of(PigtailSchema)
_QUANTITY = Number(1, MOST_QUANTITY, decimals=0, metadata=about("How many there are of it.", default=1))


class JobJointSchema(Strict):
    """A joint of a job: a question, and how often it is made. Code and catalogue are those of the job."""

    id = Text(100, metadata=about("A name of its own in this job, given back.", label="Name"))
    quantity = _QUANTITY
    joint = Later(JointSchema, required=True, metadata=about("The conductors to be connected together."))
    place = Later(LaidPlaceSchema, metadata=about("Where it is; laid over the job's defaults."))
    circuit = Later(LaidCircuitSchema, metadata=about("What it is part of; laid over the job's defaults."))
    work = Later(LaidWorkSchema, metadata=about("What kind of work it is; laid over the job's defaults."))
    proposal = fields.Nested(
        ProposalSchema,
        metadata=about(
            "The splice as it is to be made, or was made: then it is checked too, and "
            "the joint is made with it where nothing speaks against it."
        ),
    )
    pigtails = Items(
        Remembered(PigtailSchema),
        0,
        MOST_CONDUCTORS,
        metadata=about("Which of its conductors are pigtails or jumpers. A jumper stands at one of its two joints."),
    )


class JobBoxSchema(BoxFillSchema):
    """A box of a job: a request about a box, and how many such boxes there are."""

    class Meta(Strict.Meta):
        """What marshmallow reads."""

        exclude = ("code", "amendments", "catalogue", "explain", "include", "only")

    quantity = _QUANTITY


class JobSchema(Strict):
    """A whole job: its joints and boxes, and the stock to plan for."""

    id = Text(100, metadata=about("Any text, given back.", label="Name"))
    code = Word(
        v.CODES, metadata=about(f"The code and its edition, for the whole job. {BY_PROJECT}", default=codes().default)
    )
    amendments = amendments()
    catalogue = CatalogueName(
        100,
        metadata=about(
            f"The catalogue of connectors, for the whole job: its name, or all of it. {BY_PROJECT}", default="shop"
        ),
    )
    explain = Word(
        EXPLAIN,
        metadata=about("full names each joint's assumptions and the joints of each caution.", default="brief"),
    )
    include = Words(
        JOB_INCLUDE,
        metadata=about("What it has beside what `explain` gives: `assumed` of each joint, the joints of `cautions`."),
    )
    # marshmallow takes fields off the class, so that one may be named like one of its own attributes
    only = Remembered(  # type: ignore[assignment]
        OnlySchema, metadata=about("The connectors and methods that the whole job keeps to.")
    )
    tags = Tags(MOST_TAGS, metadata=about("Words of your own, which every joint has beside its own."))
    defaults = fields.Nested(DefaultsSchema, metadata=about("Laid under each joint and box, leaf by leaf."))
    joints = Items(
        Later(JobJointSchema),
        0,
        MOST_JOINTS,
        metadata=about("Joints with their quantities; a bad one spoils no other."),
    )
    boxes = Items(
        Later(JobBoxSchema),
        0,
        MOST_BOXES,
        metadata=about("Boxes with their joints and quantities; a bad one spoils no other."),
    )
    stock = fields.Nested(StockSchema, metadata=about("With it, a stock plan is made and the takeoff follows it."))
    split_overfilled = Flag(
        metadata=about(
            "Counts a joint that no connector takes as the joints and jumpers it can be split into.", default=False
        )
    )
