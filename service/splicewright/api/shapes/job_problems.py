"""What of a job can't be made as it is, and why."""

from __future__ import annotations

from marshmallow import Schema, fields

from splicewright.api.shapes.answers import FindingShape, StatementShape
from splicewright.api.shapes.bad_items import BadItemShape
from splicewright.api.shapes.boxes import SmallestShape, ToldShape
from splicewright.api.shapes.checks import PointShape
from splicewright.api.shapes.errors import ErrorShape
from splicewright.api.shapes.fields import OneOf, count, each, flag, tag, text
from splicewright.api.shapes.remedies import REMEDY
from splicewright.question.answer_vocabulary import OUTCOME, VERDICT


class NamedShape(Schema):
    """Which joint or box of the job something is about."""

    pointer = text("JSON Pointer into the request: which joint or box it is.")
    id = text("Its `id`, where it has one.", optional=True)
    quantity = count("How many there are of it. Left out where that can't be read.", optional=True, least=1)


class _NotMade(NamedShape):
    same_as = text(
        "After ten joints that ask the same: the pointer of the first, whose problem tells all of `because`, and the "
        "`remedies`; this one has the first reason.",
        optional=True,
    )
    because = each(FindingShape, "Why, in sentences.", minItems=1)
    remedies = each(
        REMEDY, "What would do instead, and what it may be split into. Left out with `same_as`.", optional=True
    )
    remedies_looked_for = flag(
        "False, and there in place of `remedies` where they were not looked for, after so many other joints: ask this "
        "one alone.",
        optional=True,
    )


class ErrorProblemShape(BadItemShape):
    """A joint or box that is not valid; the others are decided."""

    quantity = count("How many there are of it. Left out where that can't be read.", optional=True, least=1)


class BarredProblemShape(_NotMade):
    """A joint that may not be made as posed."""

    outcome = tag("barred", OUTCOME["barred"])


class ReferProblemShape(_NotMade):
    """A joint that is outside this tool."""

    outcome = tag("refer", OUTCOME["refer"])


class RefusingShape(StatementShape):
    """A reason against connectors."""

    connector_count = count("How many connectors of the catalogue it refuses.", least=1)


class NoConnectorProblemShape(_NotMade):
    """A joint that no connector of the catalogue takes."""

    outcome = tag("no-connector", OUTCOME["no-connector"])
    because = each(RefusingShape, "Why, the reason that refuses most connectors first.")


class UnsoundProblemShape(NamedShape):
    """A joint that could be made, and is not made well as it is proposed, or was made."""

    outcome = tag("unsound", VERDICT["unsound"])
    violations = each(PointShape, "What speaks against the splice.", minItems=1)


class NoPriceProblemShape(NamedShape):
    """A joint whose connectors have no price, so that the least cost can't be planned for it."""

    outcome = tag("no-price", "None of its connectors has a price.")
    connectors = each(fields.String(), "One of these needs a price.", minItems=1)


class BoxTooSmallProblemShape(NamedShape):
    """A box without the room that its fill asks for."""

    outcome = tag("box-too-small", "The box has too little room.")
    says = text("What it asks for and what it has.")
    smallest = each(SmallestShape, "Standard boxes that would do, the least first.")


class BoxContradictsProblemShape(NamedShape):
    """A box that is not as it can be, or that falls short of what is asked other than room."""

    outcome = tag("box-contradicts", "What is said of the box contradicts itself, or falls short.")
    because = each(ErrorShape, "What does not agree, with its place in the request.", minItems=1)


class BoxNotJudgedProblemShape(NamedShape):
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
        UnsoundProblemShape,
        NoPriceProblemShape,
        BoxTooSmallProblemShape,
        BoxContradictsProblemShape,
        BoxNotJudgedProblemShape,
    ),
    "Something that can't be made as it is. `outcome` tells its forms apart.",
    tag="outcome",
)
