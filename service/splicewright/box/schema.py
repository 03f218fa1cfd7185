"""What a request about a box may hold. Nothing is converted or ignored; joints are read one by one, on their own."""

from __future__ import annotations

from marshmallow import fields

from splicewright.box.model import GROUNDING
from splicewright.codes import codes
from splicewright.question import vocabulary as v
from splicewright.question.answer_vocabulary import EXPLAIN, INCLUDE
from splicewright.question.leaf import LengthSchema
from splicewright.question.model import MOST_TAGS
from splicewright.question.schema import (
    BY_PROJECT,
    CatalogueName,
    LaidCircuitSchema,
    LaidPlaceSchema,
    LaidWorkSchema,
    OnlySchema,
    QuestionSchema,
    amendments,
)
from splicewright.strict_fields import Flag, Items, Number, SizeField, Tags, Text, Word, Words, about
from splicewright.strict_schema import Later, QuantityField, Remembered, Strict
from splicewright.tables.boxes import standard_boxes

MOST_ENTRIES = 200
MOST_JOINTS = 100
VOLUME_UNITS = ("in3", "cm3")
PATHS = {
    "ends": "comes from outside and is joined or ended in the box",
    "through": "passes through unbroken",
    "looped": "unbroken, in a loop at least twice as long as the free length",
    "stays": "never leaves the box: a pigtail or a jumper",
}
CLAMPS = {"internal": "one or more cable clamps inside the box", "none": "no clamp inside the box"}


class VolumeSchema(Strict):
    """A volume as marked."""

    value = Number(
        0.01,
        100_000,
        decimals=2,
        safe="down",
        required=True,
        metadata=about("The number, to two decimals. Cubic inches decide; cm3 is converted exactly, never rounded."),
    )
    unit = Word(VOLUME_UNITS, required=True, metadata=about("Cubic inches or cubic centimetres."))


class BoxSchema(Strict):
    """The box: one of the standard boxes, or one with its volume marked on it, or both where marked with more."""

    name = Word(standard_boxes(), metadata=about("A standard metal box of the table."))
    volume = QuantityField(VolumeSchema, metadata=about("The volume marked on it.", required_if={"name": False}))
    gangs = Number(
        1,
        20,
        decimals=0,
        metadata=about(
            "How many gangs it has, for the standard boxes that are made by gangs. Assumed of these where left out: 1.",
            asked_if={"name": tuple(name for name, box in standard_boxes().items() if box.per_gang)},
        ),
    )
    opening = QuantityField(LengthSchema, metadata=about("The least dimension of its opening."))


class ExtensionSchema(Strict):
    """A further section: an extension ring, a domed cover, a plaster ring, or one more ganged box."""

    name = Word(standard_boxes(), metadata=about("A standard metal box that it is made from."))
    volume = QuantityField(
        VolumeSchema,
        metadata=about(
            "The volume marked on it. One without a mark adds none.",
            asked_if={"name": False},
            required_if={"name": False},
        ),
    )


class WireSchema(Strict):
    """Like wires in the box, pigtails and jumpers among them."""

    size = SizeField(required=True, metadata=about("The conductor's size with its unit, such as 12 AWG."))
    count = Number(1, MOST_ENTRIES, decimals=0, metadata=about("How many.", default=1))
    path = Word(PATHS, metadata=about("What becomes of it in the box.", default="ends"))
    role = Word(v.ROLE, metadata=about("What it serves as.", default="ungrounded"))
    isolated = Flag(
        metadata=about(
            "An equipment grounding conductor of a set kept apart. Assumed where left out: true for role "
            "`isolated-grounding`, else false.",
            asked_if={"role": GROUNDING},
        )
    )
    canopy = Flag(
        metadata=about(
            "A fixture wire or grounding conductor that comes from a domed luminaire or canopy and ends here.",
            default=False,
            asked_if={"path": ("ends",)},
        )
    )
    free = QuantityField(
        LengthSchema,
        metadata=about(
            "Its free length in the box; of a looped one the length of the loop.", asked_if={"path": ("ends", "looped")}
        ),
    )
    outside = QuantityField(
        LengthSchema, metadata=about("How far it reaches out of the opening.", asked_if={"path": ("ends",)})
    )


class DeviceSchema(Strict):
    """Like devices on a yoke or strap: switches, receptacles and the like."""

    gangs = Number(1, 20, decimals=0, metadata=about("How many gangs one of them needs.", default=1))
    largest = SizeField(
        metadata=about("The largest conductor connected to it. Assumed where left out: the largest in the box.")
    )
    count = Number(1, MOST_ENTRIES, decimals=0, metadata=about("How many.", default=1))


class TerminalBlockSchema(Strict):
    """Like terminal block assemblies."""

    largest = SizeField(
        metadata=about("The largest conductor that ends on it. Assumed where left out: the largest in the box.")
    )
    count = Number(1, MOST_ENTRIES, decimals=0, metadata=about("How many.", default=1))


class BoxQuestionSchema(QuestionSchema):
    """A question about a joint in a box; what it leaves out is as the box says."""

    laid = ("code", "catalogue")
    place = Remembered(LaidPlaceSchema, metadata=about("Where the joint is."))
    circuit = Remembered(LaidCircuitSchema, metadata=about("What the joint is part of."))
    work = Remembered(LaidWorkSchema, metadata=about("What kind of work it is."))


class BoxFillSchema(Strict):
    """A box, what is in it, and the joints to be made in it."""

    id = Text(100, metadata=about("Any text, given back.", label="Name"))
    code = Word(
        v.CODES, metadata=about(f"The code and its edition, for fill and joints. {BY_PROJECT}", default=codes().default)
    )
    amendments = amendments()
    catalogue = CatalogueName(
        100,
        metadata=about(
            f"The connectors, laid under each joint: a catalogue by its name, or whole. {BY_PROJECT}", default="shop"
        ),
    )
    explain = Word(EXPLAIN, metadata=about("How much the joints' answers tell.", default="brief"))
    include = Words(INCLUDE, metadata=about("What the joints' answers have beside what `explain` gives."))
    # marshmallow takes fields off the class, so that one may be named like one of its own attributes
    only = Remembered(  # type: ignore[assignment]
        OnlySchema, metadata=about("The connectors and methods that it keeps to, laid under each joint.")
    )
    tags = Tags(MOST_TAGS, metadata=about("Words of your own, which every joint in it has beside its own."))
    box = fields.Nested(
        BoxSchema, metadata=about("The box. Without it only the volume it needs and the boxes that would do are told.")
    )
    extensions = Items(
        fields.Nested(ExtensionSchema), 0, 20, metadata=about("Further sections that add to the volume.")
    )
    wires = Items(
        fields.Nested(WireSchema),
        1,
        MOST_ENTRIES,
        required=True,
        metadata=about("Every conductor in the box."),
    )
    clamps = Word(
        CLAMPS,
        metadata=about(
            "Cable clamps inside the box; where none is said, a caution tells what they take.", default="none"
        ),
    )
    fittings = Number(
        0,
        10,
        decimals=0,
        metadata=about("How many kinds of support fitting (luminaire stud, hickey) are in it.", default=0),
    )
    devices = Items(fields.Nested(DeviceSchema), 0, 50, metadata=about("Devices mounted in the box."))
    terminal_blocks = Items(fields.Nested(TerminalBlockSchema), 0, 50, metadata=about("Terminal blocks in the box."))
    place = fields.Nested(
        LaidPlaceSchema, metadata=about("Where the box is, laid under each joint; enclosure is box or conduit-body.")
    )
    circuit = fields.Nested(LaidCircuitSchema, metadata=about("What the joints are part of, laid under each of them."))
    work = fields.Nested(LaidWorkSchema, metadata=about("What kind of work it is, laid under each joint."))
    joints = Items(
        Later(BoxQuestionSchema),
        0,
        MOST_JOINTS,
        metadata=about("Questions about the joints in this box. A bad one gets errors of its own; the rest go on."),
    )
