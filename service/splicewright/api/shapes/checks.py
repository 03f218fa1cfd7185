"""Answers to a check: three verdicts, whole or brief."""

from __future__ import annotations

from marshmallow import Schema, fields

from splicewright.api.shapes.answers import (
    AMENDED_RULES,
    AmendedShape,
    CatalogueUsedShape,
    CautionShape,
    CitedShape,
    FillShape,
    FindingShape,
    OptionShape,
    RulesetsShape,
)
from splicewright.api.shapes.assumed import ASSUMED, AssumedShape
from splicewright.api.shapes.fields import OneOf, by_name, count, each, part, raw, tag, text, word
from splicewright.api.shapes.judged import JUDGED, JudgedShape
from splicewright.api.shapes.read_as import READ_AS
from splicewright.api.shapes.sources import ListingSourceShape
from splicewright.question import vocabulary as v
from splicewright.question.answer_vocabulary import VERDICT

_ASKS = "Pointer to what the proposal is to say. Left out where the joint is outside this tool."
_SAID = {"oneOf": [{"type": "boolean"}, {"$ref": "#/components/schemas/Quantity"}]}
_VIOLATIONS = "What speaks against the splice."
_UNPROVEN = "What the proposal does not say and a rule asks."


class ProposedShape(Schema):
    """What is proposed."""

    connector = text("Id of the connector, where it is known.", optional=True)
    name = text("What people call it.", optional=True)
    method = word(v.METHODS, "How it joins.")
    fill = part(FillShape, "How the joint stands in its listing, where it takes these conductors.", optional=True)
    source = part(ListingSourceShape, "Where its listing was read, where that is told. With `rules`.", optional=True)


class ComparedShape(Schema):
    """A figure beside the one that is wanted."""

    said = raw(_SAID, "What the proposal says.")
    wanted = raw(_SAID, "What is wanted.")
    within = text("How far off it may be.", optional=True)
    tolerance = text("Id of the rule that allows this.", optional=True)


class PointShape(FindingShape):
    """Something that a rule says of the splice. `at` leads first to the part of the proposal that it is about."""

    connectors = each(
        fields.String(), "The connectors that it holds for, where only a method is proposed.", optional=True
    )
    compared = part(ComparedShape, "The figures, where there are any.", optional=True)
    how = text("What the listing says.", optional=True)


class UnprovenShape(PointShape):
    """Something that is not said, and a rule asks."""

    asks = text(_ASKS, optional=True)


class UnjudgedShape(Schema):
    """Something that was said, though no rule speaks of it."""

    about = text("Pointer to it.")
    said = text("What was said.")
    says = text("Why it was not judged.")


class CheckCountsShape(Schema):
    """How many there are of what a check may tell in part, or not at all."""

    confirmed = count("Things that a rule asks, and are so.")
    options = count("Sound options beside what is proposed; `limit` says how many of them are told.")


class CheckedShape(Schema):
    """What every check has."""

    id = text("The request's `id`, where it has one.", optional=True, maxLength=100)
    answer = text(
        "Content address of the question and the proposal with their defaults filled in, of what was to be told, the "
        "rules, the catalogue and this software.",
        pattern="^sha256:[0-9a-f]{64}$",
    )
    assumed = by_name(AssumedShape, ASSUMED)
    judged = each(JudgedShape, JUDGED)
    read_as = READ_AS
    counts = part(CheckCountsShape, "How many there are of what is told in part, or not at all.")
    proposed = part(ProposedShape, "What is proposed.")
    violations = each(PointShape, _VIOLATIONS)
    unproven = each(UnprovenShape, _UNPROVEN)
    confirmed = each(PointShape, "What a rule asks, and is so. With `confirmed`.", optional=True)
    unjudged = each(UnjudgedShape, "What was said though no rule speaks of it.")
    options = each(OptionShape, "Sound options beside what is proposed, the best first.")
    cautions = each(CautionShape, "What to mind.")
    referrals = each(FindingShape, "Why the joint is outside this tool, and which article goes beyond it.")
    rules = by_name(CitedShape, "Every rule cited above, with its source. With `rules`.", optional=True)
    amended = each(AmendedShape, AMENDED_RULES, optional=True)
    rulesets = part(RulesetsShape, "The rules that were asked.")
    catalogue = part(CatalogueUsedShape, "The catalogue that options come from.")


class SoundCheckShape(CheckedShape):
    """Nothing speaks against the splice, and all that a rule asks is said."""

    verdict = tag("sound", VERDICT["sound"])


class UnsoundCheckShape(CheckedShape):
    """Something speaks against the splice: `violations` says what."""

    verdict = tag("unsound", VERDICT["unsound"])
    violations = each(PointShape, _VIOLATIONS, minItems=1)


class UnprovenCheckShape(CheckedShape):
    """Something that a rule asks is not said: `unproven` says what."""

    verdict = tag("unproven", VERDICT["unproven"])
    unproven = each(UnprovenShape, _UNPROVEN, minItems=1)


CHECKED = OneOf(
    "CheckAnswer",
    (SoundCheckShape, UnsoundCheckShape, UnprovenCheckShape),
    "What a check found, with as much as `explain` and `include` ask for. `verdict` tells its three forms apart.",
    tag="verdict",
)
