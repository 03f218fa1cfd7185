"""The answer to a box: its fill, and the joints in it."""

from __future__ import annotations

from marshmallow import Schema, fields

from splicewright.api.shapes.answers import AMENDED_IN_JOINTS, ANSWER, AmendedInJointsShape, RulesetsShape
from splicewright.api.shapes.assumed import AssumedShape
from splicewright.api.shapes.bad_items import BadItemShape
from splicewright.api.shapes.errors import ErrorShape
from splicewright.api.shapes.fields import OneOf, by_name, choice, count, each, number, or_null, part, raw, text, word
from splicewright.api.shapes.judged import JudgedShape
from splicewright.api.shapes.quantities import LengthsShape, SizeShape, VolumesShape
from splicewright.api.shapes.read_as import READ_AS
from splicewright.api.shapes.sources import SOURCE
from splicewright.question import vocabulary as v


class SectionShape(Schema):
    """The box, or a section that adds to its volume."""

    what = text("What it is.", key="for")
    volume = part(VolumesShape, "Its volume.")
    source = choice(SOURCE, "Where the volume comes from.")


class AllowanceShape(Schema):
    """What one thing in the box asks for."""

    kind = text("What sort of thing.")
    what = text("What it is.", key="for")
    count = number("How many allowances.")
    size = part(SizeShape, "The conductor size that one is reckoned by.")
    row = or_null(SizeShape, "The row of the table that was taken for this size; null where it has none.")
    each_one = or_null(VolumesShape, "One allowance; null where the size has no volume.", key="each")
    total = or_null(VolumesShape, "All of them; null where the size has no volume.")
    source = choice(SOURCE, "Where the allowance comes from.")


class SmallestShape(Schema):
    """A standard box that would do."""

    name = text("Its name in the table.")
    gangs = count("How many gangs.", optional=True, least=1)
    volume = part(VolumesShape, "Its volume, with the extensions given.")
    left = part(VolumesShape, "What would be left.")


class FreeLengthShape(Schema):
    """How long wires that are joined or ended are left."""

    free = part(LengthsShape, "Free length, from where a wire leaves its sheath or raceway.")
    outside = part(LengthsShape, "How far a wire reaches out of the opening.", optional=True)
    says = text("The same in words.")
    source = choice(SOURCE, "Where it comes from.")


class ToldShape(Schema):
    """Something to mind."""

    says = text("It, in a sentence.")
    source = choice(SOURCE, "Where it comes from.")


class BodiesShape(Schema):
    """The room that the connectors themselves take, of those chosen first."""

    connector_count = count("How many connectors have known dimensions.")
    volume = part(VolumesShape, "Their volume together.")
    size_unknown = each(fields.String(), "Connectors whose listing gives no dimensions.")


BOX_JOINT = OneOf(
    "BoxJoint",
    (ANSWER, BadItemShape),
    "The answer of one joint or, where its `outcome` is `error`, what is wrong with it.",
)


class BoxFillAnswerShape(Schema):
    """Whether the box has room, by what allowances, and the joints in it."""

    id = text("The request's `id`, where it has one.", optional=True, maxLength=100)
    code = word(v.CODES, "The code edition that was reckoned by.")
    fits = raw(
        {"type": ["boolean", "null"]},
        "Whether the box has room. Null where the box is not known, or something in it has no volume here.",
    )
    required = part(VolumesShape, "The volume of all allowances.")
    volume = or_null(VolumesShape, "The volume of the box with its extensions; null where the box is not known.")
    left = or_null(VolumesShape, "What is left, below nothing where it falls short; null where it can't be told.")
    sections = each(SectionShape, "The box and its extensions.")
    allowances = each(AllowanceShape, "What asks for room.")
    smallest = each(SmallestShape, "Standard boxes that would do, the least first.")
    free_length = part(FreeLengthShape, "How long wires are left. Left out where none ends in the box.", optional=True)
    problems = each(ErrorShape, "What contradicts itself, or falls short of what is asked, other than the volume.")
    referrals = each(ToldShape, "What this reckoning does not cover.")
    judged = each(JudgedShape, "Whether the room of the box was judged. Each joint's answer tells what else was.")
    joints = each(BOX_JOINT, "The answer of each joint, in the order given.")
    bodies = part(
        BodiesShape,
        "The room that the connectors chosen first take. Left out where no joint has an option.",
        optional=True,
    )
    cautions = each(ToldShape, "What to mind.")
    read_as = READ_AS
    assumed = by_name(
        AssumedShape, "Each value that was filled in by a default, under its JSON Pointer into the request."
    )
    amended = each(AmendedInJointsShape, AMENDED_IN_JOINTS, optional=True)
    rulesets = part(RulesetsShape, "The rules that were asked.")
