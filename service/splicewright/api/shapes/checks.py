"""Answers to a check: three verdicts, whole or brief."""

from __future__ import annotations

from marshmallow import Schema, fields

from splicewright.api.shapes.answers import (
    BriefCautionShape,
    BriefFillShape,
    BriefFindingShape,
    BriefOptionShape,
    CatalogueUsedShape,
    CautionShape,
    CitedShape,
    FillShape,
    FindingShape,
    OptionShape,
    RulesetsShape,
)
from splicewright.api.shapes.fields import OneOf, by_name, count, each, part, raw, tag, text, word
from splicewright.api.shapes.judged import JUDGED, JudgedShape
from splicewright.api.shapes.read_as import READ_AS
from splicewright.question import vocabulary as v
from splicewright.question.answer_vocabulary import VERDICT

_ABOUT = "Pointer to the part of the request that it is about. Left out where it is the joint itself."
_ASKS = "Pointer to what the proposal is to say. Left out where the joint is outside this tool."
_SAID = {"oneOf": [{"type": "boolean"}, {"$ref": "#/components/schemas/Quantity"}]}
_VIOLATIONS = "What speaks against the splice."
_UNPROVEN = "What the proposal does not say and a rule asks."
_OPTIONS = "Sound options beside what is proposed, the best first."


class BriefProposedShape(Schema):
    """What is proposed."""

    connector = text("Id of the connector, where it is known.", optional=True)
    method = word(v.METHODS, "How it joins.")
    fill = part(BriefFillShape, "How the joint stands in its listing, where it takes these conductors.", optional=True)


class ProposedShape(BriefProposedShape):
    """What is proposed."""

    fill = part(FillShape, "How the joint stands in its listing, where it takes these conductors.", optional=True)


class ComparedShape(Schema):
    """A figure beside the one that is wanted."""

    said = raw(_SAID, "What the proposal says.")
    wanted = raw(_SAID, "What is wanted.")
    within = text("How far off it may be.", optional=True)
    tolerance = text("Id of the rule that allows this.", optional=True)


class BriefViolationShape(BriefFindingShape):
    """Something that speaks against the splice."""

    about = text(_ABOUT, optional=True)


class ViolationShape(FindingShape):
    """Something that speaks against the splice."""

    about = text(_ABOUT, optional=True)
    connectors = each(
        fields.String(), "The connectors that it holds for, where only a method is proposed.", optional=True
    )
    compared = part(ComparedShape, "The figures, where there are any.", optional=True)
    how = text("What the listing says.", optional=True)


class BriefUnprovenShape(BriefFindingShape):
    """Something that is not said, and a rule asks."""

    asks = text(_ASKS, optional=True)


class UnprovenShape(FindingShape):
    """Something that is not said, and a rule asks."""

    asks = text(_ASKS, optional=True)
    connectors = each(
        fields.String(), "The connectors that it holds for, where only a method is proposed.", optional=True
    )
    compared = part(ComparedShape, "The figures, where there are any.", optional=True)
    how = text("What the listing says.", optional=True)


class ConfirmedShape(ViolationShape):
    """Something that a rule asks, and that is so."""


class UnjudgedShape(Schema):
    """Something that was said, though no rule speaks of it."""

    about = text("Pointer to it.")
    said = text("What was said.")
    says = text("Why it was not judged.")


class _Every(Schema):
    id = text("The request's `id`, where it has one.", optional=True, maxLength=100)
    answer = text(
        "Content address of the question and the proposal with their defaults filled in, the rules and the catalogue.",
        pattern="^sha256:[0-9a-f]{64}$",
    )
    read_as = READ_AS
    judged = each(JudgedShape, JUDGED)
    unjudged = each(UnjudgedShape, "What was said though no rule speaks of it.")
    more = count("Sound options beyond `limit`.")
    rulesets = part(RulesetsShape, "The rules that were asked.")
    catalogue = part(CatalogueUsedShape, "The catalogue that options come from.")


class _Whole(_Every):
    proposed = part(ProposedShape, "What is proposed.")
    violations = each(ViolationShape, _VIOLATIONS)
    unproven = each(UnprovenShape, _UNPROVEN)
    confirmed = each(ConfirmedShape, "What a rule asks, and is so.")
    options = each(OptionShape, _OPTIONS)
    assumed = raw(
        {"type": "object", "additionalProperties": {}},
        "Each value that was filled in by a default, under its JSON Pointer into the request.",
    )
    cautions = each(CautionShape, "What to mind.")
    referrals = each(FindingShape, "Why the joint is outside this tool, and which article goes beyond it.")
    rules = by_name(CitedShape, "Every rule cited above, with its source.")


class _Brief(_Every):
    proposed = part(BriefProposedShape, "What is proposed.")
    violations = each(BriefViolationShape, _VIOLATIONS)
    unproven = each(BriefUnprovenShape, _UNPROVEN)
    confirmed = count("How many things a rule asks, and are so.")
    options = each(BriefOptionShape, _OPTIONS)
    assumed = count("How many values were filled in by defaults.")
    cautions = each(BriefCautionShape, "What to mind.")
    referrals = each(BriefFindingShape, "Why the joint is outside this tool, and which article goes beyond it.")


class SoundCheckShape(_Whole):
    """Nothing speaks against the splice, and all that a rule asks is said."""

    verdict = tag("sound", VERDICT["sound"])


class UnsoundCheckShape(_Whole):
    """Something speaks against the splice: `violations` says what."""

    verdict = tag("unsound", VERDICT["unsound"])
    violations = each(ViolationShape, _VIOLATIONS, minItems=1)


class UnprovenCheckShape(_Whole):
    """Something that a rule asks is not said: `unproven` says what."""

    verdict = tag("unproven", VERDICT["unproven"])
    unproven = each(UnprovenShape, _UNPROVEN, minItems=1)


class BriefSoundCheckShape(_Brief):
    """Nothing speaks against the splice, and all that a rule asks is said."""

    verdict = tag("sound", VERDICT["sound"])


class BriefUnsoundCheckShape(_Brief):
    """Something speaks against the splice: `violations` says what."""

    verdict = tag("unsound", VERDICT["unsound"])
    violations = each(BriefViolationShape, _VIOLATIONS, minItems=1)


class BriefUnprovenCheckShape(_Brief):
    """Something that a rule asks is not said: `unproven` says what."""

    verdict = tag("unproven", VERDICT["unproven"])
    unproven = each(BriefUnprovenShape, _UNPROVEN, minItems=1)


CHECKED = OneOf(
    "Checked",
    (
        OneOf(
            "WholeCheck",
            (SoundCheckShape, UnsoundCheckShape, UnprovenCheckShape),
            "What a check found, with everything. `verdict` tells its three forms apart.",
            tag="verdict",
        ),
        OneOf(
            "BriefCheck",
            (BriefSoundCheckShape, BriefUnsoundCheckShape, BriefUnprovenCheckShape),
            "What a check found, briefly. `verdict` tells its three forms apart.",
            tag="verdict",
        ),
    ),
    "What a check found, whole or brief as it was asked for: only a whole one has `rules`. `verdict` tells each one's "
    "three forms apart.",
)
