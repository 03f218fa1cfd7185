"""The answer to a job: what can't be made, the takeoff, the stock plan, and each joint and box."""

from __future__ import annotations

from marshmallow import Schema, fields

from splicewright.api.shapes.answers import (
    AMENDED_IN_JOINTS,
    AmendedInJointsShape,
    AmendedShape,
    CatalogueUsedShape,
    FillShape,
    RulesetsShape,
    StatementShape,
)
from splicewright.api.shapes.assumed import AssumedInBoxesShape, AssumedInJointsShape, AssumedShape
from splicewright.api.shapes.boxes import SmallestShape, ToldShape
from splicewright.api.shapes.checks import PointShape, UnprovenShape
from splicewright.api.shapes.fields import OneOf, by_name, each, flag, number, or_null, part, raw, tag, text, word
from splicewright.api.shapes.fields import count as number_of  # some fields are called count
from splicewright.api.shapes.job_problems import JOB_PROBLEM, ErrorProblemShape, NamedShape
from splicewright.api.shapes.judged import JobJudgedShape
from splicewright.api.shapes.quantities import VolumesShape
from splicewright.api.shapes.read_as import READ_AS
from splicewright.api.shapes.takeoff import (
    CONNECTOR,
    NAME,
    NAMES,
    ShelfInAllShape,
    StockPlanShape,
    TailShape,
    TakeoffLineShape,
)
from splicewright.question import vocabulary as v
from splicewright.question.answer_vocabulary import CAUTION, OUTCOME, VERDICT

_ASSUMED = "Each value that was filled in by a default, under its pointer into the request. With `explain: full`."
_LEAVES = "By JSON Pointer into the joint or box (`*` is any place of a list), each value of those that differ once."
_ADDRESS = "^sha256:[0-9a-f]{64}$"


class JobCountsShape(Schema):
    """What a job came to, in numbers."""

    joints = number_of("Joints of the job, with their quantities.")
    made = number_of("How many of them are made.")
    problems = number_of("How many problems there are.")


class UsedShape(Schema):
    """A connector that joints are made with."""

    connector = text(CONNECTOR)
    name = text(NAME)
    method = word(v.METHODS, "How it joins.")
    rank = number_of("Its rank among the joint's options; 1 is the best.", least=1)
    count = number_of("How many of it: one for each joint that is made with it.", least=1)
    fill = part(FillShape, "How the joint stands in its listing.")


class JointProposedShape(Schema):
    """What is proposed for a joint."""

    connector = text(CONNECTOR, optional=True)
    method = word(v.METHODS, "How it joins.")


class JointCheckShape(Schema):
    """What the check of a joint's proposal found; pointers are into the job."""

    verdict = word(VERDICT, "What it comes to.")
    violations = each(PointShape, "What speaks against the splice.")
    unproven = each(UnprovenShape, "What the proposal does not say and a rule asks.")
    proposed = part(JointProposedShape, "What is proposed: its connector, where it names one, and its method.")
    kept = flag(
        "Whether the joint is made with the connector or method that is proposed: where that is an option of it and "
        "nothing speaks against it, takeoff and stock plan keep to it."
    )


class _Joint(NamedShape):
    answer = text("Content address of the joint's own answer, told in brief.", pattern=_ADDRESS)
    check = part(JointCheckShape, "The check of its `proposal`, where it has one.", optional=True)
    assumed = by_name(AssumedShape, _ASSUMED, optional=True)
    read_as = READ_AS
    amended = each(
        AmendedShape,
        "Rules that amendments took out and that would have spoken here, where there are any.",
        optional=True,
    )


class MadeJointCountsShape(Schema):
    """What there is of a joint, in numbers."""

    options = number_of("Connectors that may be used.", least=1)


class MadeJointShape(_Joint):
    """A joint that is made."""

    outcome = tag("options", OUTCOME["options"])
    counts = part(MadeJointCountsShape, "What there is of it, in numbers.")
    connectors = each(
        UsedShape, "What it is made with: more than one where the plan shares the joints out.", minItems=1
    )


class SplitPartShape(Schema):
    """One of the joints that a joint is split into."""

    takes = text("The conductors in it.")
    answer = text("Content address of its own answer.", pattern=_ADDRESS)
    connectors = each(UsedShape, "What it is made with.", minItems=1)


class MadeSplitShape(_Joint):
    """A joint that no connector takes, made as several that are tied by jumpers."""

    outcome = tag("split", "It is made as several joints.")
    joints = each(SplitPartShape, "The joints that are made.", minItems=2)


class BarredJointShape(_Joint):
    """A joint that may not be made as posed; `problems` says why."""

    outcome = tag("barred", OUTCOME["barred"])


class ReferJointShape(_Joint):
    """A joint that is outside this tool; `problems` says why."""

    outcome = tag("refer", OUTCOME["refer"])


class NoConnectorJointShape(_Joint):
    """A joint that no connector takes; `problems` says why."""

    outcome = tag("no-connector", OUTCOME["no-connector"])


JOB_JOINT = OneOf(
    "JobJointAnswer",
    (MadeJointShape, MadeSplitShape, BarredJointShape, ReferJointShape, NoConnectorJointShape, ErrorProblemShape),
    "What one joint of a job comes to. `outcome` tells its forms apart.",
    tag="outcome",
)


class FilledBoxCountsShape(Schema):
    """What there is in a box, in numbers."""

    joints = number_of("Joints in it.")


class FilledBoxShape(NamedShape):
    """A box whose fill was reckoned."""

    outcome = tag("filled", "Its fill was reckoned.")
    fits = raw({"type": ["boolean", "null"]}, "Whether it has room; null where that can't be told.")
    required = part(VolumesShape, "The volume of all allowances.")
    volume = or_null(VolumesShape, "The volume of the box; null where it is not known.")
    left = or_null(VolumesShape, "What is left; null where it can't be told.")
    smallest = each(SmallestShape, "Standard boxes that would do, the least three.")
    counts = part(FilledBoxCountsShape, "What there is in it, in numbers.")
    assumed = by_name(AssumedShape, _ASSUMED, optional=True)
    read_as = READ_AS


JOB_BOX = OneOf(
    "JobBoxAnswer",
    (FilledBoxShape, ErrorProblemShape),
    "What one box of a job comes to. `outcome` tells its forms apart.",
    tag="outcome",
)


class JobCautionShape(StatementShape):
    """Something to mind, with how many joints it is for."""

    kind = word(CAUTION, "Whether it holds because of what was asked, or of every joint.")
    joint_count = number_of("For how many joints, each as often as its quantity says.", least=1)
    joints = each(fields.String(), f"{NAMES} With `cautions`.", optional=True)


class BoxCautionShape(ToldShape):
    """Something to mind about boxes."""

    box_count = number_of("For how many boxes, each as often as its quantity says.", least=1)


class JobAnswerShape(Schema):
    """What a job needs, and what of it can't be made."""

    id = text("The job's `id`, where it has one.", optional=True, maxLength=100)
    answer = text("Content address of the job with its defaults, the rules and the catalogue.", pattern=_ADDRESS)
    problems = each(JOB_PROBLEM, "What can't be made as it is: joints first, then boxes. Look here first.")
    counts = part(JobCountsShape, "What the job came to, in numbers.")
    takeoff = each(TakeoffLineShape, "Every connector that is needed, by id.")
    shelf = part(ShelfInAllShape, "What the takeoff comes to by what the catalogue says.")
    cost = number(
        "Cost of all lines with a price; what is on hand is off that in `shelf` alone. There where stock has prices.",
        optional=True,
    )
    unpriced = each(
        fields.String(),
        "Connectors without a price, carried or not: they are not in the cost. There where the stock has prices.",
        optional=True,
    )
    pigtails_and_jumpers = each(TailShape, "Pigtails and jumpers to cut.")
    stock_plan = part(StockPlanShape, "What to carry. There where the job has a stock.", optional=True)
    joints = each(JOB_JOINT, "Each joint, in the order given; those of boxes after the others.")
    boxes = each(JOB_BOX, "Each box, in the order given.")
    judged = each(JobJudgedShape, "Whether each concern that arises was judged, and for how many joints.")
    cautions = each(JobCautionShape, "What to mind; each once.")
    box_cautions = each(BoxCautionShape, "What to mind about boxes; each once.")
    assumed = by_name(AssumedShape, "Defaults of the job as a whole, under their pointers.")
    read_as = READ_AS
    assumed_in_joints = by_name(
        fields.List(fields.Nested(AssumedInJointsShape)), f"Each default that was filled in for joints. {_LEAVES}"
    )
    assumed_in_boxes = by_name(
        fields.List(fields.Nested(AssumedInBoxesShape)), f"Each default that was filled in for boxes. {_LEAVES}"
    )
    amended = each(AmendedInJointsShape, AMENDED_IN_JOINTS, optional=True)
    rulesets = part(RulesetsShape, "The rules that were asked.")
    catalogue = part(CatalogueUsedShape, "The catalogue that connectors come from.")
