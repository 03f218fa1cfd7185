"""Why a question is answered as it is."""

from __future__ import annotations

from marshmallow import Schema

from splicewright.api.shapes.answers import (
    AMENDED_RULES,
    AmendedShape,
    CatalogueUsedShape,
    CitedShape,
    GivenFactShape,
    RulesetsShape,
    StatementShape,
)
from splicewright.api.shapes.fields import ANY_MAP, OneOf, count, each, part, raw, text, word
from splicewright.question import vocabulary as v
from splicewright.question.answer_vocabulary import EFFECT, OUTCOME, STANDING

_BEHIND = OneOf(
    "ProvedBy",
    (GivenFactShape, {"$ref": "#/components/schemas/ProvedFinding"}),
    "A fact, given or assumed, or a finding that concluded something.",
)


class ProvedFindingShape(CitedShape):
    """A finding, and all that it rests on, down to what was given or assumed."""

    rule = text("Id of the rule.")
    does = word(EFFECT, "What it does.")
    says = text("What it says here.")
    behind = each(_BEHIND, "Facts, and findings that concluded the rest.", key="from")


class AskedOfListingShape(Schema):
    """What a rule asks of a listing, and what the listing says."""

    attribute = text("The attribute.")
    test = raw(ANY_MAP, "The test, as rules write it.")
    listed = text("What the connector's listing says of it.")


class AgainstShape(Schema):
    """One reason against a connector."""

    rule = text("Id of the rule.")
    says = text("What it says.")
    here = text("What is so of this connector.", optional=True)
    asks = each(AskedOfListingShape, "What it asks of the listing.", optional=True)
    behind = each(_BEHIND, "What the rule rests on here.", key="from")


class TriedChangeShape(Schema):
    """One change of the question that was tried, and makes the connector an option."""

    set = raw(ANY_MAP, "The change: leaves by part.")
    says = text("The change in words.")
    rank = count("Its rank then; 1 is the best.", least=1)


class StandingShape(Schema):
    """How a connector stands in the answer."""

    connector = text("Its id.")
    name = text("What people call it.")
    method = word(v.METHODS, "How it joins.")
    standing = word(STANDING, "How it stands.")
    rank = count("Of an option: 1 is the best.", optional=True, least=1)
    preferred = each(StatementShape, "Of an option: what speaks for it.", optional=True)
    before_it = each(StatementShape, "Of an option: what the best one has that it lacks.", optional=True)
    because = each(AgainstShape, "Of one that is refused: every reason.", optional=True)
    tried = count(
        "Of one that is refused or not looked at: how many single changes of the question were tried.", optional=True
    )
    changes = each(TriedChangeShape, "Those of them that make it an option, at most 12.", optional=True)
    untried = count("How many were not tried, since the call had used up its work.", optional=True, least=1)


class WhyShape(Schema):
    """Why a question is answered as it is."""

    id = text("The question's `id`, where it has one.", optional=True, maxLength=100)
    outcome = word(OUTCOME, "The outcome of the answer.")
    best = text("The connector that is offered first, where one is.", optional=True)
    findings = each(ProvedFindingShape, "What decides the outcome, each with its proof.")
    connector = part(StandingShape, "The connector that was asked about.", optional=True)
    amended = each(AmendedShape, AMENDED_RULES, optional=True)
    rulesets = part(RulesetsShape, "The rules that were asked.")
    catalogue = part(CatalogueUsedShape, "The catalogue that options come from.")
