"""The answer to a job: what can't be made, the takeoff, the stock plan, and each joint and box."""

from __future__ import annotations

from marshmallow import Schema, fields

from splicewright.api.shapes.answers import BriefFillShape, BriefFindingShape, CatalogueUsedShape, RulesetsShape
from splicewright.api.shapes.boxes import SmallestShape, ToldShape
from splicewright.api.shapes.errors import ErrorShape
from splicewright.api.shapes.fields import (
    ANY_MAP,
    OneOf,
    choice,
    each,
    flag,
    number,
    or_null,
    part,
    raw,
    tag,
    text,
    word,
)
from splicewright.api.shapes.fields import count as number_of  # some fields are called count
from splicewright.api.shapes.quantities import QuantityShape, VolumesShape
from splicewright.api.shapes.remedies import BRIEF_REMEDY
from splicewright.api.shapes.sources import SOURCE
from splicewright.job.schema import AIMS
from splicewright.question import vocabulary as v

_CONNECTOR = "Id of the connector in the catalogue."
_NAMES = "Names of joints: the id or, without one, the pointer; in a box `<name of the box>/<id or place>`."
_REMEDIES = {
    "oneOf": [
        {"type": "array", "items": {"$ref": f"#/components/schemas/{BRIEF_REMEDY.name}"}},
        {"type": "null"},
    ]
}
_ASSUMED = {"oneOf": [{"type": "integer", "minimum": 0}, ANY_MAP]}
_ADDRESS = "^sha256:[0-9a-f]{64}$"


class _Named(Schema):
    pointer = text("JSON Pointer into the request: which joint or box it is.")
    id = text("Its `id`, where it has one.", optional=True)
    quantity = number_of("How many there are of it. Left out where that can't be read.", optional=True, least=1)


class _NotMade(_Named):
    because = each(BriefFindingShape, "Why, in sentences.", minItems=1)
    remedies = raw(
        _REMEDIES, "What would do instead; null where too many joints were refused for more to be looked for."
    )


class ErrorProblemShape(_Named):
    """A joint or box that is not valid; the others are decided."""

    outcome = tag("error", "It is not valid.")
    errors = each(ErrorShape, "Each thing wrong; pointers are into the request.", minItems=1)


class BarredProblemShape(_NotMade):
    """A joint that may not be made as posed."""

    outcome = tag("barred", v.OUTCOME["barred"])


class ReferProblemShape(_NotMade):
    """A joint that is handed to a licensed person."""

    outcome = tag("refer", v.OUTCOME["refer"])


class RefusingShape(BriefFindingShape):
    """A reason against connectors."""

    connectors = number_of("How many connectors of the catalogue it refuses.", least=1)


class NoConnectorProblemShape(_NotMade):
    """A joint that no connector of the catalogue takes."""

    outcome = tag("no-connector", v.OUTCOME["no-connector"])
    because = each(RefusingShape, "Why, the reason that refuses most connectors first.")


class NoPriceProblemShape(_Named):
    """A joint whose connectors have no price, so that the least cost can't be planned for it."""

    outcome = tag("no-price", "None of its connectors has a price.")
    connectors = each(fields.String(), "One of these needs a price.", minItems=1)


class BoxTooSmallProblemShape(_Named):
    """A box without the room that its fill asks for."""

    outcome = tag("box-too-small", "The box has too little room.")
    says = text("What it asks for and what it has.")
    smallest = each(SmallestShape, "Standard boxes that would do, the least first.")


class BoxContradictsProblemShape(_Named):
    """A box that is not as it can be, or that falls short of what is asked other than room."""

    outcome = tag("box-contradicts", "What is said of the box contradicts itself, or falls short.")
    because = each(ErrorShape, "What does not agree, with its place in the request.", minItems=1)


class BoxNotJudgedProblemShape(_Named):
    """A box with something in it that this reckoning does not cover."""

    outcome = tag("box-not-judged", "The box can't be judged here.")
    because = each(ToldShape, "Why not.", minItems=1)


JOB_PROBLEM = OneOf(
    "JobProblem",
    (
        ErrorProblemShape,
        BarredProblemShape,
        ReferProblemShape,
        NoConnectorProblemShape,
        NoPriceProblemShape,
        BoxTooSmallProblemShape,
        BoxContradictsProblemShape,
        BoxNotJudgedProblemShape,
    ),
    "Something that can't be made as it is. `outcome` tells its forms apart.",
    tag="outcome",
)


class JobCountsShape(Schema):
    """What a job came to, in numbers."""

    joints = number_of("Joints of the job, with their quantities.")
    made = number_of("How many of them are made.")
    problems = number_of("How many problems there are.")


class TakeoffLineShape(Schema):
    """How many of one connector are needed."""

    connector = text(_CONNECTOR)
    method = word(v.METHODS, "How it joins.")
    carried = flag("Whether it is carried already. Left out where no stock was given.", optional=True)
    count = number_of("How many the joints use.", least=1)
    spare = number_of("Spares beside that.")
    packs = number_of("Whole packs to buy, where it is sold in packs.", optional=True, least=1)
    of = number_of("How many are in a pack.", optional=True, least=1)
    bought = number_of("How many are bought, where it has a price.", optional=True)
    cost = number("What they cost, where it has a price.", optional=True)


class TailShape(Schema):
    """Pigtails or jumpers of one kind, to be cut from wire."""

    kind = raw({"type": "string", "enum": ["pigtail", "jumper"]}, "A pigtail has one end in a joint, a jumper both.")
    size = text("The conductor's size with its unit.")
    material = word(v.MATERIAL, "Its metal.")
    role = word(v.ROLE, "What it serves as.")
    color = text("The colour that the code asks for; only of grounding conductors.", optional=True)
    color_source = choice(SOURCE, "Where the colour comes from.", optional=True)
    count = number_of("How many.", least=1)
    length = part(QuantityShape, "How long to cut each.")
    total = part(QuantityShape, "How much wire that is in all.")
    source = choice(SOURCE, "Where the length comes from.")


class CarriedTypeShape(Schema):
    """One connector type of a plan."""

    connector = text(_CONNECTOR)
    carried = flag("Whether it is carried already.")
    joints = number_of("How many joints the plan makes with it.")


class CoversShape(Schema):
    """What one connector type could do alone."""

    connector = text(_CONNECTOR)
    joints = number_of("How many joints it could make.")


class _Plan(Schema):
    proven_optimal = flag("Whether it is proven that nothing better can be.")
    ties_settled = flag("Whether all ties were broken in order, so that the plan is always the same.")
    gap = number("By which share of its value a better plan might differ, where that is not proven.", optional=True)
    cost = number("What it costs, where connectors have prices.", optional=True)
    first_choices = number_of("How many joints get their best option.", optional=True)
    mean_rank = number("The mean rank of what the joints are made with; 1 is the best.", optional=True)


class FewerPlanShape(_Plan):
    """The best plan with one type fewer."""

    types = each(fields.String(), "Ids of its connectors.")
    joints = number_of("How many joints it makes.")
    left = number_of("How many it leaves.")
    leaves = each(fields.String(), _NAMES)


class MorePlanShape(_Plan):
    """The best plan with one type more."""

    types = each(fields.String(), "Ids of its connectors.")
    improves = raw({"type": "string", "enum": ["rank", "cost"]}, "What is better with it.")


class AlternativesShape(Schema):
    """What one type fewer or more would change."""

    fewer = or_null(FewerPlanShape, "The best plan with one type fewer; null where there is none.")
    more = or_null(MorePlanShape, "The best plan with one type more; null where it is no better.")


class StockPlanShape(_Plan):
    """The connector types to carry so that every joint can be made."""

    aim = word(AIMS, "What it aims at.")
    types = each(CarriedTypeShape, "The types to carry, by id.")
    covers = each(CoversShape, "What each type that is an option anywhere could make alone, the most first.")
    alternatives = part(AlternativesShape, "What one type fewer or more would change.")


class UsedShape(Schema):
    """A connector that joints are made with."""

    connector = text(_CONNECTOR)
    method = word(v.METHODS, "How it joins.")
    rank = number_of("Its rank among the joint's options; 1 is the best.", least=1)
    count = number_of("How many of the joints are made with it.", least=1)
    fill = part(BriefFillShape, "How the joint stands in its listing.")


class _Joint(_Named):
    answer = text("Content address of the joint's own answer.", pattern=_ADDRESS)
    assumed = raw(_ASSUMED, "How many defaults were filled in; with `explain: full` each under its pointer.")


class MadeJointShape(_Joint):
    """A joint that is made."""

    outcome = tag("options", v.OUTCOME["options"])
    options = number_of("How many connectors may be used.", least=1)
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

    outcome = tag("barred", v.OUTCOME["barred"])


class ReferJointShape(_Joint):
    """A joint that is handed to a licensed person; `problems` says why."""

    outcome = tag("refer", v.OUTCOME["refer"])


class NoConnectorJointShape(_Joint):
    """A joint that no connector takes; `problems` says why."""

    outcome = tag("no-connector", v.OUTCOME["no-connector"])


JOB_JOINT = OneOf(
    "JobJointAnswer",
    (MadeJointShape, MadeSplitShape, BarredJointShape, ReferJointShape, NoConnectorJointShape, ErrorProblemShape),
    "What one joint of a job comes to. `outcome` tells its forms apart.",
    tag="outcome",
)


class FilledBoxShape(_Named):
    """A box whose fill was reckoned."""

    outcome = tag("filled", "Its fill was reckoned.")
    fits = raw({"type": ["boolean", "null"]}, "Whether it has room; null where that can't be told.")
    required = part(VolumesShape, "The volume of all allowances.")
    volume = or_null(VolumesShape, "The volume of the box; null where it is not known.")
    left = or_null(VolumesShape, "What is left; null where it can't be told.")
    smallest = each(SmallestShape, "Standard boxes that would do, the least three.")
    joints = number_of("How many joints it holds.")
    assumed = raw(_ASSUMED, "How many defaults were filled in; with `explain: full` each under its pointer.")


JOB_BOX = OneOf(
    "JobBoxAnswer",
    (FilledBoxShape, ErrorProblemShape),
    "What one box of a job comes to. `outcome` tells its forms apart.",
    tag="outcome",
)


class JobCautionShape(BriefFindingShape):
    """Something to mind, with how many joints it is for."""

    joints = number_of("How many joints of the list it is for.", least=1)
    of = each(fields.String(), f"{_NAMES} With `explain: full`.", optional=True)


class BoxCautionShape(ToldShape):
    """Something to mind about boxes."""

    boxes = number_of("How many boxes of the list it is for.", least=1)


class _AssumedIn(Schema):
    leaf = text("JSON Pointer into the joint or box; `*` stands for any place of a list.")
    value = raw({}, "What was filled in.")


class AssumedInJointsShape(_AssumedIn):
    """A default that was filled in for joints."""

    joints = number_of("For how many.", least=1)


class AssumedInBoxesShape(_AssumedIn):
    """A default that was filled in for boxes."""

    boxes = number_of("For how many.", least=1)


class JobAnswerShape(Schema):
    """What a job needs, and what of it can't be made."""

    id = text("The job's `id`, where it has one.", optional=True, maxLength=100)
    answer = text("Content address of the job with its defaults, the rules and the catalogue.", pattern=_ADDRESS)
    problems = each(JOB_PROBLEM, "What can't be made as it is: joints first, then boxes. Look here first.")
    counts = part(JobCountsShape, "What the job came to, in numbers.")
    takeoff = each(TakeoffLineShape, "Every connector that is needed, by id.")
    cost = number("Cost of all lines with a price. There where the stock has prices.", optional=True)
    unpriced = each(
        fields.String(),
        "Connectors that are not carried and have no price. There where the stock has prices.",
        optional=True,
    )
    pigtails_and_jumpers = each(TailShape, "Pigtails and jumpers to cut.")
    stock_plan = part(StockPlanShape, "What to carry. There where the job has a stock.", optional=True)
    joints = each(JOB_JOINT, "Each joint, in the order given; those of boxes after the others.")
    boxes = each(JOB_BOX, "Each box, in the order given.")
    cautions = each(JobCautionShape, "What to mind, and what could not be judged; each once.")
    box_cautions = each(BoxCautionShape, "What to mind about boxes; each once.")
    assumed = raw(
        {"type": "object", "additionalProperties": {}}, "Defaults of the job as a whole, under their pointers."
    )
    assumed_in_joints = each(AssumedInJointsShape, "Each default that was filled in for joints, once.")
    assumed_in_boxes = each(AssumedInBoxesShape, "Each default that was filled in for boxes, once.")
    rulesets = part(RulesetsShape, "The rules that were asked.")
    catalogue = part(CatalogueUsedShape, "The catalogue that connectors come from.")
