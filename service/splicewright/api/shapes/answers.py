"""Answers to a question: four outcomes, whole or brief, each told apart by its `outcome`."""

from __future__ import annotations

from marshmallow import Schema, fields

from splicewright.api.shapes.assumed import ASSUMED, AssumedShape
from splicewright.api.shapes.fields import (
    OneOf,
    by_name,
    choice,
    count,
    each,
    flag,
    part,
    raw,
    tag,
    text,
    word,
    words,
)
from splicewright.api.shapes.judged import JUDGED, JudgedShape
from splicewright.api.shapes.quantities import QuantityShape, SizeShape
from splicewright.api.shapes.read_as import READ_AS
from splicewright.api.shapes.remedies import REMEDY, TEST, VALUE
from splicewright.api.shapes.sources import SOURCE, AuthorityShape, ListingSourceShape
from splicewright.catalogue.schema import LISTED
from splicewright.question import vocabulary as v
from splicewright.question.answer_vocabulary import AMENDED, BASIS, CAUTION, OUTCOME

_REFERRALS = "Why the joint is outside this tool, and which article goes beyond it."
_AT = "Pointers into what was sent, in a box or job from its root, to where that stands or would stand."
AMENDED_RULES = "Rules that amendments took out and that would have spoken here; where amendments are laid."
AMENDED_IN_JOINTS = "Rules that amendments took out and that would have spoken of joints; where amendments are laid."
_RULE = "Id of the rule; `GET /v1/rules/{ruleset}/{rule}` shows it."


class StatementShape(Schema):
    """What a rule says."""

    rule = text(_RULE)
    says = text("What it found and why, in a sentence.")


class GivenFactShape(Schema):
    """A fact that a finding rests on."""

    fact = text("Its name: a leaf of the question, such as `place.exposure`, or a measure, such as `joint.count`.")
    value = raw(VALUE, "Its value.")
    at = each(fields.String(), _AT, optional=True, minItems=1)
    assumed = flag("True, and there where it was not stated.", optional=True)


class ConcludedShape(Schema):
    """A rule that concluded what a finding rests on."""

    rule = text(_RULE)


PROOF = OneOf("Proof", (GivenFactShape, ConcludedShape), "What a finding rests on: a fact, or what a rule concluded.")


class _Grounded(Schema):
    at = each(
        fields.String(),
        f"{_AT} Followed back through what rules concluded; left out where it holds of every joint.",
        optional=True,
        minItems=1,
    )
    rests_on = each(
        PROOF,
        "What it rests on: facts and rules, back to what was given or assumed. With `proofs`.",
        key="from",
        optional=True,
    )


class FindingShape(StatementShape, _Grounded):
    """What a rule found."""


class CautionShape(_Grounded):
    """Something to mind. With `cautions` each says what; without, those of every joint are told as one."""

    rule = text(f"{_RULE} Left out where several are told as one.", optional=True)
    kind = word(CAUTION, "Whether it holds because of what was asked, or of every joint.")
    says = text("What to mind, in a sentence.", optional=True)


class MethodBarShape(FindingShape):
    """Why methods may not be used."""

    methods = each(word(v.METHODS, "A method."), "The methods.", minItems=1)


class DemandShape(FindingShape):
    """Something the joint asks of whatever connector is used."""

    attribute = text("The attribute of a listing that is asked about; see `GET /v1/vocabulary`.")
    test = raw(
        TEST,
        "A comparison with the values that it compares with, such as `{includes: [wet]}` or "
        "`{at-least: [{value: 120, unit: V}]}`.",
    )


class FillShape(Schema):
    """How the joint stands in the connector's listing."""

    basis = word(BASIS, "Whether the listing names this mix of conductors.")
    listing = text("The listed combination that it equals, or the ports that it goes into. With `fill`.", optional=True)
    between = each(
        fields.String(),
        "The listed combinations below and above a bracketed one. With `fill`.",
        optional=True,
        minItems=2,
        maxItems=2,
    )
    comfort = count("0 at the edge of what is listed, 100 midway. With `fill`.", optional=True)
    spare_ports = count("Ports left empty, where it has ports.", optional=True)


class MeetsShape(Schema):
    """How a demand is met."""

    rule = text(_RULE)
    how = text("The listed value that meets it.")


class ConductorFigureShape(Schema):
    """A listed figure for the conductors of one size and metal."""

    figure = word(v.MAKE_UP_FIGURES, "What figure it is.")
    size = part(SizeShape, "The conductors' size.")
    material = word(v.MATERIAL, "Their metal.")
    value = part(QuantityShape, "The figure; left out where the listing has none for them.", optional=True)
    ports = text("The ports that it is for, where they differ in it.", optional=True)


class StepShape(Schema):
    """One work step."""

    phase = word(v.PHASES, "Where in the work it comes.")
    do = text("What to do.")
    value = part(QuantityShape, "The figure, where there is one: strip length, torque, length of slack.", optional=True)
    by_conductor = each(
        ConductorFigureShape,
        "The figure by conductor, where they differ in it; `value` is the largest's.",
        optional=True,
    )
    rule = text(_RULE)


class OptionShape(Schema):
    """A connector that may be used: why, and how the joint is made up with it."""

    connector = text("Id of the connector in the catalogue.")
    name = text("What people call it.")
    method = word(v.METHODS, "How it joins.")
    rank = count("1 is the best.", least=1)
    fill = part(FillShape, "How the joint stands in its listing.")
    strip = part(QuantityShape, "How long ends are stripped.", optional=True)
    torque = part(QuantityShape, "What its screw or nut is tightened to.", optional=True)
    by_conductor = each(
        ConductorFigureShape,
        "Strip and torque by conductor, where they differ in it; `strip` and `torque` are the largest's.",
        optional=True,
    )
    tool = text("The tool that closes it, where it is listed; `none` is by hand.", optional=True)
    meets = each(MeetsShape, "Every demand, and how the listing meets it. With `meets`.", optional=True)
    preferred = each(StatementShape, "What speaks for it before other options. With `preferred`.", optional=True)
    make_up = each(StepShape, "The work steps in order. With `make_up`.", optional=True)
    source = part(ListingSourceShape, "Where its listing was read, where that is told. With `rules`.", optional=True)


class RefusalShape(Schema):
    """A connector that may not be used, with all of its reasons."""

    connector = text("Id of the connector in the catalogue.")
    method = word(v.METHODS, "How it joins.")
    because = each(StatementShape, "Every reason against it.", minItems=1)
    not_stated = words(
        LISTED,
        "What its listing does not state, where nothing else speaks against it, so that it is unproven: look on its "
        "carton. Else left out.",
        optional=True,
    )


class CountsShape(Schema):
    """How many there are of what an answer may tell in part, or not at all."""

    options = count("Connectors that may be used; `limit` says how many of them are told.")
    refused = count("Connectors that may not.")
    demands = count("What the joint asks of whatever connector is used.")
    unproven = count(
        "Of those refused, the connectors of which only their listings' silence keeps them from being options.",
        optional=True,
        least=1,
    )
    not_carried = count("Connectors that `only` narrows away, where it does.", optional=True, least=1)


class CitedShape(Schema):
    """A rule that an answer cites."""

    source = choice(SOURCE, "Where the rule comes from.")
    amendment = text("The amendment that it is of, where it is of one.", optional=True)
    by = part(AuthorityShape, "The right of that amendment to it, where it names one.", optional=True)
    replaces = text("The rule that it stands in place of.", optional=True)


class AmendedShape(Schema):
    """A rule that an amendment took out, and that would have spoken here."""

    rule = text("Its id.")
    did = word(AMENDED, "What became of it.")
    amendment = text("The amendment that took it out.")
    says = text("Why; of one that was replaced, what the rule in its place says.")
    by = part(AuthorityShape, "By what right.", optional=True)


class AmendedInJointsShape(AmendedShape):
    """A rule that an amendment took out, with how many joints it would have spoken of."""

    joint_count = count("For how many joints, each as often as its quantity says.", least=1)


class RulesetsShape(Schema):
    """The rules that were asked."""

    code = word(v.CODES, "The code edition.")
    amendments = each(fields.String(), "The amendments applied, in order.")
    digest = text("Changes whenever a rule or a table does. With `digests`.", optional=True)


#: What a catalogue says of itself where it is no shelf of anyone's.
DEMO = "True where its connectors are invented, as those of the catalogue that is shipped are; else not there."


class CatalogueUsedShape(Schema):
    """The catalogue that options come from."""

    name = text("Its name.")
    demo = flag(DEMO, optional=True)
    digest = text("Changes whenever a listing does. With `digests`.", optional=True)


class AnswerShape(Schema):
    """What every answer has."""

    id = text("The question's `id`, where it has one.", optional=True, maxLength=100)
    answer = text(
        "Content address of the question with its defaults filled in, of what was to be told, the rules, the catalogue "
        "and this software: answers that have the same are the same, but for `id`, `assumed`, `read_as`, `at`, `asks` "
        "and `patch`, which speak of the question as it was sent.",
        pattern="^sha256:[0-9a-f]{64}$",
    )
    assumed = by_name(AssumedShape, ASSUMED)
    judged = each(JudgedShape, JUDGED)
    read_as = READ_AS
    counts = part(CountsShape, "How many there are of what is told in part, or not at all.")
    referrals = each(FindingShape, _REFERRALS)
    bars = each(FindingShape, "Why the joint may not be made.")
    method_bars = each(MethodBarShape, "Which methods may not be used, and why. With `method_bars`.", optional=True)
    findings = each(FindingShape, "What the rules concluded about joint and place. With `findings`.", optional=True)
    demands = each(DemandShape, "What the joint asks of whatever connector is used. With `demands`.", optional=True)
    options = each(OptionShape, "Connectors that may be used, the best first.")
    refusals = each(
        RefusalShape, "Every other connector of the catalogue, with all of its reasons. With `refusals`.", optional=True
    )
    remedies = each(REMEDY, "What would make the joint possible, the smallest change first; tried, and found to do.")
    cautions = each(CautionShape, "What to mind.")
    rules = by_name(CitedShape, "Every rule cited above, with its source. With `rules`.", optional=True)
    amended = each(AmendedShape, AMENDED_RULES, optional=True)
    rulesets = part(RulesetsShape, "The rules that were asked.")
    catalogue = part(CatalogueUsedShape, "The catalogue that options come from.")


class OptionsAnswerShape(AnswerShape):
    """The joint may be made: `options` has at least one connector."""

    outcome = tag("options", OUTCOME["options"])
    options = each(OptionShape, "Connectors that may be used, the best first.", minItems=1)


class NoConnectorAnswerShape(AnswerShape):
    """The joint may be made, but no connector of the catalogue takes it; `refusals` says why not."""

    outcome = tag("no-connector", OUTCOME["no-connector"])


class BarredAnswerShape(AnswerShape):
    """The joint may not be made as posed; `bars` says why, `remedies` what would do instead."""

    outcome = tag("barred", OUTCOME["barred"])
    bars = each(FindingShape, "Why the joint may not be made.", minItems=1)


class ReferAnswerShape(AnswerShape):
    """The joint is outside this tool; `referrals` says why."""

    outcome = tag("refer", OUTCOME["refer"])
    referrals = each(FindingShape, _REFERRALS, minItems=1)


ANSWER = OneOf(
    "Answer",
    (OptionsAnswerShape, NoConnectorAnswerShape, BarredAnswerShape, ReferAnswerShape),
    "An answer, with as much as `explain` and `include` ask for. `outcome` tells its four forms apart.",
    tag="outcome",
)
