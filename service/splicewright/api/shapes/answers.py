"""Answers to a question: four outcomes, whole or brief, each told apart by its `outcome`."""

from __future__ import annotations

from marshmallow import Schema, fields

from splicewright.api.shapes.fields import (
    OneOf,
    by_name,
    choice,
    count,
    each,
    part,
    raw,
    tag,
    text,
    word,
)
from splicewright.api.shapes.judged import JUDGED, JudgedShape
from splicewright.api.shapes.quantities import QuantityShape
from splicewright.api.shapes.read_as import READ_AS
from splicewright.api.shapes.remedies import BRIEF_REMEDY, REMEDY, TEST
from splicewright.api.shapes.sources import SOURCE
from splicewright.question import vocabulary as v
from splicewright.question.answer_vocabulary import BASIS, CAUTION, OUTCOME

_REFERRALS = "Why the joint is outside this tool, and which article goes beyond it."
_RULE = "Id of the rule; `GET /v1/rules/{ruleset}/{rule}` shows it."


class BriefFindingShape(Schema):
    """What a rule found."""

    rule = text(_RULE)
    says = text("What it found and why, in a sentence.")


class FindingShape(BriefFindingShape):
    """What a rule found, and what that rests on."""

    rests_on = each(
        fields.String(),
        "The facts (`place.exposure: buried`) and the rules that it rests on, back to what was given or assumed.",
        key="from",
    )


class BriefCautionShape(BriefFindingShape):
    """Something to mind."""

    kind = word(CAUTION, "Whether it holds because of what was asked, or of every joint.")


class CautionShape(FindingShape):
    """Something to mind, and what that rests on."""

    kind = word(CAUTION, "Whether it holds because of what was asked, or of every joint.")


class BarShape(FindingShape):
    """A reason that the joint as posed may not be made, or not by some methods."""

    method = each(
        word(v.METHODS, "A method."),
        "The methods that may not be used. Left out where the joint itself may not be made.",
        optional=True,
    )


class BriefBarShape(Schema):
    """A reason that the joint as posed may not be made, or not by some methods."""

    rule = text(_RULE)
    says = text("The reason, in a sentence. Left out where only methods are barred.", optional=True)
    method = each(
        word(v.METHODS, "A method."),
        "The methods that may not be used. Left out where the joint itself may not be made.",
        optional=True,
    )


class DemandShape(FindingShape):
    """Something the joint asks of whatever connector is used."""

    attribute = text("The attribute of a listing that is asked about; see `GET /v1/vocabulary`.")
    test = raw(
        TEST,
        "A comparison with the values that it compares with, such as `{includes: [wet]}` or `{at-least: [120 V]}`.",
    )


class FillShape(Schema):
    """How the joint stands in the connector's listing."""

    basis = word(BASIS, "Whether the listing names this mix of conductors.")
    listing = text("The listed combination that it equals, or the ports that it goes into.", optional=True)
    between = each(
        fields.String(),
        "The listed combinations below and above a bracketed one.",
        optional=True,
        minItems=2,
        maxItems=2,
    )
    comfort = count("0 at the edge of what is listed, 100 midway.")
    spare_ports = count("Ports left empty.", optional=True)


class BriefFillShape(Schema):
    """How the joint stands in the connector's listing."""

    basis = word(BASIS, "Whether the listing names this mix of conductors.")


class MeetsShape(Schema):
    """How a demand is met."""

    rule = text(_RULE)
    how = text("The listed value that meets it.")


class StepShape(Schema):
    """One work step."""

    phase = word(v.PHASES, "Where in the work it comes.")
    do = text("What to do.")
    value = part(QuantityShape, "The figure, where there is one: strip length, torque, length of slack.", optional=True)
    rule = text(_RULE)


class BriefOptionShape(Schema):
    """A connector that may be used."""

    connector = text("Id of the connector in the catalogue.")
    method = word(v.METHODS, "How it joins.")
    rank = count("1 is the best.", least=1)
    fill = part(BriefFillShape, "How the joint stands in its listing.")


class OptionShape(BriefOptionShape):
    """A connector that may be used: why, and how the joint is made up with it."""

    fill = part(FillShape, "How the joint stands in its listing.")
    meets = each(MeetsShape, "Every demand, and how the listing meets it.")
    preferred = each(BriefFindingShape, "What speaks for it before other options.")
    make_up = each(StepShape, "The work steps in order.")


class ReasonShape(Schema):
    """One reason against a connector."""

    rule = text(_RULE)
    says = text("The reason, in a sentence.")


class RefusalShape(Schema):
    """A connector that may not be used, with all of its reasons."""

    connector = text("Id of the connector in the catalogue.")
    method = word(v.METHODS, "How it joins.")
    because = each(ReasonShape, "Every reason against it.", minItems=1)


class CitedShape(Schema):
    """A rule that an answer cites."""

    source = choice(SOURCE, "Where the rule comes from.")


class RulesetsShape(Schema):
    """The rules that were asked."""

    code = word(v.CODES, "The code edition.")
    amendments = each(fields.String(), "The amendments applied, in order.")
    digest = text("Changes whenever a rule or a table does.")


class CatalogueUsedShape(Schema):
    """The catalogue that options come from."""

    name = text("Its name.")
    digest = text("Changes whenever a listing does.")


class _Every(Schema):
    id = text("The question's `id`, where it has one.", optional=True, maxLength=100)
    answer = text(
        "Content address of the question with its defaults filled in, the rules and the catalogue. The same answer has "
        "the same address on any machine.",
        pattern="^sha256:[0-9a-f]{64}$",
    )
    read_as = READ_AS
    judged = each(JudgedShape, JUDGED)
    more = count("Sound options beyond `limit`.")
    rulesets = part(RulesetsShape, "The rules that were asked.")
    catalogue = part(CatalogueUsedShape, "The catalogue that options come from.")


class _Whole(_Every):
    assumed = raw(
        {"type": "object", "additionalProperties": {}},
        "Each value that was filled in by a default, under its JSON Pointer into the question.",
    )
    referrals = each(FindingShape, _REFERRALS)
    bars = each(BarShape, "Why the joint, or some methods, may not be used.")
    findings = each(FindingShape, "What the rules concluded about joint and place.")
    demands = each(DemandShape, "What the joint asks of whatever connector is used.")
    options = each(OptionShape, "Connectors that may be used, the best first.")
    refusals = each(RefusalShape, "Every other connector of the catalogue, with all of its reasons.")
    cautions = each(CautionShape, "What to mind.")
    remedies = each(REMEDY, "What would make the joint possible, the smallest change first; tried, and found to do.")
    rules = by_name(CitedShape, "Every rule cited above, with its source.")


class _Brief(_Every):
    assumed = count("How many values were filled in by defaults; `explain: full` names them.")
    referrals = each(BriefFindingShape, _REFERRALS)
    bars = each(BriefBarShape, "Why the joint, or some methods, may not be used.")
    demands = count("How many demands the joint makes.")
    options = each(BriefOptionShape, "Connectors that may be used, the best first.")
    refusals = count("How many connectors may not be used; `explain: full` says why.")
    remedies = each(
        BRIEF_REMEDY, "What would make the joint possible, the smallest change first; tried, and found to do."
    )
    cautions = each(BriefCautionShape, "What to mind.")


class OptionsAnswerShape(_Whole):
    """The joint may be made: `options` has at least one connector."""

    outcome = tag("options", OUTCOME["options"])
    options = each(OptionShape, "Connectors that may be used, the best first.", minItems=1)


class NoConnectorAnswerShape(_Whole):
    """The joint may be made, but no connector of the catalogue takes it; `refusals` says why not."""

    outcome = tag("no-connector", OUTCOME["no-connector"])


class BarredAnswerShape(_Whole):
    """The joint may not be made as posed; `bars` says why, `remedies` what would do instead."""

    outcome = tag("barred", OUTCOME["barred"])
    bars = each(BarShape, "Why the joint may not be made; then the methods that are barred.", minItems=1)


class ReferAnswerShape(_Whole):
    """The joint is outside this tool; `referrals` says why."""

    outcome = tag("refer", OUTCOME["refer"])
    referrals = each(FindingShape, _REFERRALS, minItems=1)


class BriefOptionsAnswerShape(_Brief):
    """The joint may be made: `options` has at least one connector."""

    outcome = tag("options", OUTCOME["options"])
    options = each(BriefOptionShape, "Connectors that may be used, the best first.", minItems=1)


class BriefNoConnectorAnswerShape(_Brief):
    """The joint may be made, but no connector of the catalogue takes it."""

    outcome = tag("no-connector", OUTCOME["no-connector"])


class BriefBarredAnswerShape(_Brief):
    """The joint may not be made as posed; `bars` says why, `remedies` what would do instead."""

    outcome = tag("barred", OUTCOME["barred"])
    bars = each(BriefBarShape, "Why the joint may not be made; then the methods that are barred.", minItems=1)


class BriefReferAnswerShape(_Brief):
    """The joint is outside this tool; `referrals` says why."""

    outcome = tag("refer", OUTCOME["refer"])
    referrals = each(BriefFindingShape, _REFERRALS, minItems=1)


WHOLE = OneOf(
    "WholeAnswer",
    (OptionsAnswerShape, NoConnectorAnswerShape, BarredAnswerShape, ReferAnswerShape),
    "An answer with everything: what `explain=full` gives. `outcome` tells its four forms apart.",
    tag="outcome",
)
BRIEF = OneOf(
    "BriefAnswer",
    (BriefOptionsAnswerShape, BriefNoConnectorAnswerShape, BriefBarredAnswerShape, BriefReferAnswerShape),
    "An answer without proofs, refusals and work steps: what `explain=brief` gives. `outcome` tells its four forms "
    "apart.",
    tag="outcome",
)
ANSWER = OneOf(
    "Answer",
    (WHOLE, BRIEF),
    "An answer, whole or brief as it was asked for: only a whole one has `rules`. `outcome` tells each one's "
    "four forms apart.",
)
