"""What a job needs: the takeoff, and the plan of what to carry."""

from __future__ import annotations

from marshmallow import Schema, fields

from splicewright.api.shapes.fields import choice, each, flag, number, part, text, word
from splicewright.api.shapes.fields import count as number_of  # some fields are called count
from splicewright.api.shapes.quantities import QuantityShape, SizeShape
from splicewright.api.shapes.sources import SOURCE, ListingSourceShape
from splicewright.job.schema import AIMS
from splicewright.question import vocabulary as v
from splicewright.question.answer_vocabulary import IMPROVES, TAILS
from splicewright.strict_fields import Word

CONNECTOR = "Id of the connector in the catalogue."
NAME = "What people call it."
PLANS_BESIDE = ("fewer", "more")
NAMES = "Names of joints: the id or, without one, the pointer; in a box `<name of the box>/<id or place>`."


class ShelfShape(Schema):
    """What a line comes to by what the catalogue says of the connector; what it does not say is left out."""

    on_hand = number_of("How many there are on hand.", optional=True)
    to_buy_count = number_of("How many are to be bought: those used and spares, less those on hand; in whole packs.")
    per_pack = number_of("How many are in a pack.", optional=True, least=1)
    pack_count = number_of("How many packs are to be bought.", optional=True)
    price = number("Of a pack or, where no pack is known, of one. Prices of the job are stronger.", optional=True)
    cost = number("What those to be bought cost.", optional=True)
    minutes = number("Minutes that the joints made with it take.", optional=True)


class ShelfInAllShape(Schema):
    """What all lines come to by what the catalogue says; nothing stands for what is not known."""

    cost = number("Cost of what is to be bought, of the lines that have one.", optional=True)
    without_cost = each(fields.String(), "Connectors whose cost is not known.")
    minutes = number("Minutes of the lines that have some.", optional=True)
    without_minutes = each(fields.String(), "Connectors whose minutes are not known.")


class TakeoffLineShape(Schema):
    """How many of one connector are needed."""

    connector = text(CONNECTOR)
    name = text(NAME)
    method = word(v.METHODS, "How it joins.")
    carried = flag("Whether it is carried already. Left out where no stock was given.", optional=True)
    count = number_of("How many the joints use.", least=1)
    spare_count = number_of("Spares beside that.")
    pack_count = number_of("Whole packs to buy, where it is sold in packs.", optional=True, least=1)
    per_pack = number_of("How many are in a pack.", optional=True, least=1)
    bought_count = number_of(
        "How many are bought, where it has a price; what is on hand is off that in `shelf` alone.", optional=True
    )
    cost = number("What these cost, where they have a price.", optional=True)
    source = part(ListingSourceShape, "Where its listing was read, where that is told.", optional=True)
    shelf = part(ShelfShape, "What it comes to by what the catalogue says: on hand, packs, price, minutes.")


class TailShape(Schema):
    """Pigtails or jumpers of one kind, to be cut from wire."""

    kind = word(TAILS, "A pigtail has one end in a joint, a jumper both.")
    size = part(SizeShape, "The conductor's size.")
    material = word(v.MATERIAL, "Its metal.")
    role = word(v.ROLE, "What it serves as.")
    color = text("The colour that the code asks for; only of grounding conductors.", optional=True)
    color_source = choice(SOURCE, "Where the colour comes from.", optional=True)
    count = number_of("How many.", least=1)
    length = part(QuantityShape, "How long to cut each.")
    total = part(QuantityShape, "How much wire that is in all.")
    source = choice(SOURCE, "Where the length comes from.")


class PlanTypeShape(Schema):
    """One connector type of a plan."""

    connector = text(CONNECTOR)
    name = text(NAME)
    carried = flag("Whether it is carried already.")
    joint_count = number_of(
        "How many joints the plan makes with it. Left out where it was not settled which joint is made with which.",
        optional=True,
    )


class CoversShape(Schema):
    """What one connector type could do alone."""

    connector = text(CONNECTOR)
    name = text(NAME)
    joint_count = number_of("How many joints it could make.")


class PlanCountsShape(Schema):
    """What a plan makes, in numbers of joints; of a joint that is split, each part is one."""

    made = number_of("Joints that it makes.")
    not_made = number_of("Joints that it has no type for, of those that can be made.")
    first_choices = number_of(
        "Joints that it makes with the best of their own options: those of rank 1 in `joints`.", optional=True
    )


class _Plan(Schema):
    types = each(PlanTypeShape, "Its connector types, by id.")
    counts = part(PlanCountsShape, "What it makes, in numbers of joints.")
    proven_optimal = flag("Whether it is proven that nothing better can be.")
    ties_settled = flag("Whether all ties were broken in order, so that the plan is always the same.")
    gap = number("By which share of its value a better plan might differ, where that is not proven.", optional=True)
    cost = number("What it costs, where connectors have prices.", optional=True)
    mean_rank = number(
        "The mean rank of what it makes joints with, each rank among the joint's own options, as `joints` tells it; 1 "
        "is the best.",
        optional=True,
    )


class FewerPlanShape(_Plan):
    """The best plan with one type fewer."""

    not_made = each(fields.String(), f"Those that it has no type for. {NAMES}")


class MorePlanShape(_Plan):
    """The best plan with one type more."""

    improves = word(IMPROVES, "What is better with it.")


class AlternativesShape(Schema):
    """What one type fewer or more would change."""

    fewer = part(FewerPlanShape, "The best plan with one type fewer. Left out where none was found.", optional=True)
    more = part(MorePlanShape, "The best plan with one type more. Left out where none was found better.", optional=True)


class StockPlanShape(_Plan):
    """The connector types to carry so that every joint can be made."""

    aim = word(AIMS, "What it aims at.")
    covers = each(CoversShape, "What each type that is an option anywhere could make alone, the most first.")
    alternatives = part(AlternativesShape, "What one type fewer or more would change.")
    unsearched = each(
        Word(PLANS_BESIDE),
        "Alternatives left out because the work that the plan may take was used up; more `effort` of the stock finds "
        "them. Left out where there are none such.",
        optional=True,
    )
    effort_allowed = number(
        "How much effort the plan was allowed, where the call had less work left than `stock.effort` asks for.",
        optional=True,
    )
