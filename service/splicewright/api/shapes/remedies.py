"""What would make a refused joint possible, each kind told apart by `kind`."""

from __future__ import annotations

from marshmallow import Schema, fields

from splicewright.api.shapes.fields import OneOf, choice, count, each, flag, part, raw, tag, text, word, words
from splicewright.api.shapes.quantities import QuantityShape
from splicewright.api.shapes.sources import SOURCE
from splicewright.question import vocabulary as v
from splicewright.question.answer_vocabulary import SIZED_BY
from splicewright.question.read import QuestionSchema
from splicewright.tables.conductors import insulation_types

TEST = {"type": "object", "additionalProperties": {"type": "array", "items": {}}}
_OPERATIONS = ("add", "replace", "remove")
_PATCH_ABOUT = (
    "What to change of what was sent, as a JSON Patch (RFC 6902): applied to it and asked again, it gives the outcome "
    "and the best connector told. Pointers lead from the root of what was sent, also in a box or a job. Left out only "
    "where what was sent leaves no room for it, such as pigtails of a job's joint that a split would divide."
)


class _LeadsTo(Schema):
    outcome = tag("options", "What comes of the changed question.")


class RemedyOptionShape(Schema):
    """A connector that a change leads to."""

    connector = text("Its id in the catalogue.")
    name = text("What people call it.")
    method = word(v.METHODS, "How it joins.")


class PatchOperationShape(Schema):
    """One operation of a JSON Patch (RFC 6902)."""

    op = word(_OPERATIONS, "What is done.")
    path = text("A JSON Pointer to where it is done.")
    value = raw({}, "What is written there; none for `remove`.", optional=True)


class BriefAlterRemedyShape(_LeadsTo):
    """Change a part of the question: another box, another insulation, another place."""

    kind = tag("alter", "Change the question.")
    patch = each(PatchOperationShape, _PATCH_ABOUT, optional=True, minItems=1)
    conductors = each(fields.String(), "The conductors to change, such as `2 x 12 AWG solid copper`.", optional=True)
    do = each(fields.String(), "What a person does on site to bring it about, where that is told.", optional=True)
    best = part(RemedyOptionShape, "The best connector that it leads to.")
    then = each(RemedyOptionShape, "The next best, at most two.", optional=True)


class AlterRemedyShape(BriefAlterRemedyShape):
    """Change a part of the question: another box, another insulation, another place."""

    question = part(QuestionSchema, "The whole question so changed, ready to be asked.")


class SplitJointShape(Schema):
    """One joint of a split."""

    takes = text("The conductors in it.")
    patch = each(
        PatchOperationShape,
        "What makes what was sent this joint: a JSON Patch like that of a changed question.",
        optional=True,
        minItems=1,
    )
    best = part(RemedyOptionShape, "The best connector for it.")


class JumperShape(Schema):
    """A short conductor with both ends in joints of the split."""

    size = text("Its size.")
    material = word(v.MATERIAL, "Its metal.")
    construction = word(v.CONSTRUCTION, "How it is built up.")
    finish = word(v.FINISH, "Whether its strands are plated.")
    insulation = words(insulation_types(), "Its insulation, where that is stated.", optional=True)
    cable = word(v.CABLE, "The cable that it comes from.")
    role = word(v.ROLE, "What it serves as.")
    circuit = text("The label of its circuit.")
    between = each(
        fields.Integer(), "The two joints it ties, by their places in `joints`, from 0.", minItems=2, maxItems=2
    )
    length = part(QuantityShape, "How long to cut it.")
    sized_by = word(SIZED_BY, "What its size follows from.")


class _Split(_LeadsTo):
    joints = each(SplitJointShape, "The joints to make, each with its connector.", minItems=2)
    jumpers = each(JumperShape, "The jumpers that tie them together.", minItems=1)
    proven_fewest = flag("Whether no fewer joints would do.")
    box_allowances = count("How many more volume allowances of a box the jumpers ask for.", optional=True)


class SplitSourcesShape(Schema):
    """Where the figures of a split come from."""

    size = choice(SOURCE, "The size of the jumpers.")
    length = choice(SOURCE, "Their length.")
    box_allowances = choice(SOURCE, "The room that they take in a box.", optional=True)


class BriefSplitRemedyShape(_Split):
    """Make it as several joints tied by jumpers."""

    kind = tag("split", "Make it as several joints.")


class BriefPigtailRemedyShape(_Split):
    """Give single conductors a tail each, and join the tails."""

    kind = tag("pigtail", "Join by tails.")


class SplitRemedyShape(BriefSplitRemedyShape):
    """Make it as several joints tied by jumpers."""

    questions = each(QuestionSchema, "Each of the joints as a question, ready to be asked.", minItems=2)
    sources = part(SplitSourcesShape, "Where its figures come from.")


class PigtailRemedyShape(BriefPigtailRemedyShape):
    """Give single conductors a tail each, and join the tails."""

    questions = each(QuestionSchema, "Each of the joints as a question, ready to be asked.", minItems=2)
    sources = part(SplitSourcesShape, "Where its figures come from.")


class BriefListedShape(Schema):
    """Something that a listing would have to state."""

    attribute = text("The attribute of a listing; see `GET /v1/vocabulary`.")
    test = raw(TEST, "A comparison with the values that it compares with.")


class ListedShape(BriefListedShape):
    """Something that a listing would have to state."""

    rules = each(fields.String(), "Ids of the rules that ask for it.", minItems=1)


class BriefConnectorRemedyShape(_LeadsTo):
    """Find a connector that this catalogue does not have."""

    kind = tag("connector", "Another connector.")
    methods = each(word(v.METHODS, "A method."), "How it may join.", minItems=1)
    takes = text("The conductors that it has to take.")
    listing = each(BriefListedShape, "What its listing has to state.")


class ConnectorRemedyShape(BriefConnectorRemedyShape):
    """Find a connector that this catalogue does not have."""

    listing = each(ListedShape, "What its listing has to state, and which rules ask for it.")


_ABOUT = "Something that would make a refused joint possible. `kind` tells its forms apart."
REMEDY = OneOf(
    "Remedy", (AlterRemedyShape, SplitRemedyShape, PigtailRemedyShape, ConnectorRemedyShape), _ABOUT, tag="kind"
)
BRIEF_REMEDY = OneOf(
    "BriefRemedy",
    (BriefAlterRemedyShape, BriefSplitRemedyShape, BriefPigtailRemedyShape, BriefConnectorRemedyShape),
    _ABOUT,
    tag="kind",
)
