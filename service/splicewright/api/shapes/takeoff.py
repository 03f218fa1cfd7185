"""What a job needs: the takeoff, and the plan of what to carry."""

from __future__ import annotations

from marshmallow import Schema, fields

from splicewright.api.shapes.fields import choice, each, flag, number, or_null, part, text, word
from splicewright.api.shapes.fields import count as number_of  # some fields are called count
from splicewright.api.shapes.quantities import QuantityShape
from splicewright.api.shapes.sources import SOURCE
from splicewright.job.schema import AIMS
from splicewright.question import vocabulary as v
from splicewright.question.answer_vocabulary import IMPROVES, TAILS

CONNECTOR = "Id of the connector in the catalogue."
NAMES = "Names of joints: the id or, without one, the pointer; in a box `<name of the box>/<id or place>`."


class TakeoffLineShape(Schema):
    """How many of one connector are needed."""

    connector = text(CONNECTOR)
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

    kind = word(TAILS, "A pigtail has one end in a joint, a jumper both.")
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

    connector = text(CONNECTOR)
    carried = flag("Whether it is carried already.")
    joints = number_of("How many joints the plan makes with it.")


class CoversShape(Schema):
    """What one connector type could do alone."""

    connector = text(CONNECTOR)
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
    leaves = each(fields.String(), NAMES)


class MorePlanShape(_Plan):
    """The best plan with one type more."""

    types = each(fields.String(), "Ids of its connectors.")
    improves = word(IMPROVES, "What is better with it.")


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
