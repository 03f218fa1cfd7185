"""Catalogues and their connectors."""

from __future__ import annotations

from typing import Any

from marshmallow import Schema, fields

from splicewright.api.shapes.answers import DEMO, CatalogueUsedShape
from splicewright.api.shapes.fields import count, each, flag, number, part, text, word, words
from splicewright.api.shapes.quantities import QuantityShape, SizeShape
from splicewright.api.shapes.sources import ListingSourceShape
from splicewright.catalogue.schema import FIGURES, LISTED
from splicewright.question import vocabulary as v
from splicewright.question.fact_kinds import FactKind
from splicewright.rulebook.attributes import ATTRIBUTES


class HeadingShape(Schema):
    """A catalogue, without its connectors."""

    name = text("Its name: what a question's `catalogue` says.")
    demo = flag(DEMO, optional=True)
    note = text("What it is.")
    digest = text("Changes whenever a listing does.")


class CatalogueLineShape(HeadingShape):
    """A catalogue, as a list has it."""

    connector_count = count("How many connectors it has.")


class CataloguesShape(Schema):
    """Catalogues."""

    catalogues = each(CatalogueLineShape, "The catalogues, in the order of their names.")


class PortFiguresShape(Schema):
    """Figures of some ports of a group."""

    ports = text("The ports, as `ports` has them.")
    strip = part(QuantityShape, "Strip length in these ports.", optional=True)
    torque = part(QuantityShape, "Torque of their screws.", optional=True)


class TakesShape(Schema):
    """One group of what a connector takes: combinations of conductors, ports, or totals of metal."""

    materials = words(v.MATERIAL, "The metals taken.", optional=True)
    constructions = words(v.CONSTRUCTION, "The constructions taken.", optional=True)
    ends = words(v.END, "The ends taken.", optional=True)
    combinations = each(fields.String(), "Every listed combination, such as `2 x 12 AWG + 1 x 18 AWG`.", optional=True)
    ports = each(fields.String(), "Its ports, each with the sizes it takes.", optional=True)
    least = count("The fewest conductors that its ports are listed for.", optional=True)
    figures = each(PortFiguresShape, "Figures that are of some of its ports.", optional=True)
    metal = each(fields.String(), "Listings by total metal, each with its sizes and numbers.", optional=True)


class TorqueLineShape(Schema):
    """What a screw or nut is tightened to."""

    torque = part(QuantityShape, "The figure.")
    least = part(
        SizeShape, "From this size of conductor; left out where one figure holds for all.", optional=True, key="from"
    )
    most = part(SizeShape, "To this size.", optional=True, key="to")
    materials = words(v.MATERIAL, "The metals that it holds for; left out where it holds for all.", optional=True)


class ListedFigureShape(Schema):
    """A figure that depends on the size or metal of a conductor."""

    figure = word(FIGURES, "What figure it is.")
    value = part(QuantityShape, "The figure.")
    least = part(SizeShape, "From this size of conductor; left out where it holds for all.", optional=True, key="from")
    most = part(SizeShape, "To this size.", optional=True, key="to")
    materials = words(v.MATERIAL, "The metals that it holds for; left out where it holds for all.", optional=True)


class _Connector(Schema):
    """A connector with what its listing says. What the listing is silent on is left out."""

    id = text("Its id: what answers and questions call it.")
    name = text("What people call it: the listing's own name or, without one, its method and the sizes it takes.")
    about = text("What it is.", optional=True)
    takes = each(TakesShape, "What it takes.", minItems=1)
    strip = part(QuantityShape, "Strip length.", optional=True)
    torque = each(TorqueLineShape, "Torque, by size.", optional=True)
    figures = each(ListedFigureShape, "Figures by size and metal, but for torque.", optional=True)
    part_number = text("What it is ordered by.", optional=True)
    pack = count("How many are in a pack.", optional=True)
    price = number("What a pack costs, or one where no pack is stated.", optional=True)
    on_hand = count("How many the user has.", optional=True)
    minutes = number("Minutes that a joint with it takes, by the user's own figure.", optional=True)
    source = part(ListingSourceShape, "Where the listing was read.", optional=True)
    not_stated = words(
        LISTED,
        "What the listing does not say, so that it is not known: a flag among these is written false. Left out where "
        "the catalogue says that what its listings leave out is not so.",
        optional=True,
    )
    outside = each(QuantityShape, "Outside dimensions: length, width, height; or length and diameter.", optional=True)


def _listed(kind: FactKind) -> Any:
    about = f"{kind.about[0].upper()}{kind.about[1:]}."
    if kind.kind == "flag":
        return flag(about)
    if kind.kind == "word":
        return word(v.METHODS if kind.name == "method" else kind.words, about, optional=kind.name != "method")
    if kind.kind == "words":
        return words(kind.words, about, optional=True)
    return part(QuantityShape, about, optional=True)


ConnectorShape = _Connector.from_dict({name: _listed(ATTRIBUTES[name]) for name in LISTED}, name="ConnectorShape")
ConnectorShape.__doc__ = _Connector.__doc__


class ListingShape(Schema):
    """One connector of a catalogue."""

    catalogue = part(CatalogueUsedShape, "The catalogue that it is of.")
    connector = part(ConnectorShape, "The connector, with what its listing says.")


class CatalogueShape(HeadingShape):
    """A catalogue."""

    connectors = each(ConnectorShape, "Its connectors, in the order of their ids.")
