"""What would make a refused joint possible, each kind told apart by `kind`."""

from __future__ import annotations

from marshmallow import Schema, fields

from splicewright.api.shapes.fields import OneOf, choice, count, each, flag, part, raw, tag, text, word, words
from splicewright.api.shapes.quantities import QuantityShape, SizeShape
from splicewright.api.shapes.sources import SOURCE
from splicewright.question import vocabulary as v
from splicewright.question.answer_vocabulary import SIZED_BY
from splicewright.question.schema import QuestionSchema
from splicewright.tables.conductors import insulation_types

#: A value as answers write it: a word, true, a count, or with its unit; a list of words.
VALUE = {
    "oneOf": [
        {"type": "string"},
        {"type": "boolean"},
        {"type": "number"},
        {"$ref": "#/components/schemas/Quantity"},
        {"$ref": "#/components/schemas/Size"},
        {"type": "array", "items": {"type": "string"}},
    ]
}
TEST = {"type": "object", "additionalProperties": {"type": "array", "items": VALUE}}
OPERATIONS = ("add", "replace", "remove")
_PATCH = (
    "What to change of what was sent, as a JSON Patch (RFC 6902): applied to it and asked again, it gives the outcome "
    "and the best connector told. Pointers lead from the root of what was sent, also in a box or a job. Left out only "
    "where what was sent leaves no room for it, such as pigtails of a job's joint that a split would divide."
)


class _LeadsTo(Schema):
    outcome = tag("options", "What comes of the changed question.")


class ConnectorNameShape(Schema):
    """A connector that a change leads to."""

    connector = text("Its id in the catalogue.")
    name = text("What people call it.")
    method = word(v.METHODS, "How it joins.")


class PatchOperationShape(Schema):
    """One operation of a JSON Patch (RFC 6902)."""

    op = word(OPERATIONS, "What is done.")
    path = text("A JSON Pointer to where it is done.")
    value = raw({}, "What is written there; none for `remove`.", optional=True)


class AlterRemedyShape(_LeadsTo):
    """Change a part of the question: another box, another insulation, another place."""

    kind = tag("alter", "Change the question.")
    patch = each(PatchOperationShape, _PATCH, optional=True, minItems=1)
    conductors = each(fields.String(), "The conductors to change, in words. With `questions`.", optional=True)
    do = each(fields.String(), "What a person does on site to bring it about, where that is told.", optional=True)
    best = part(ConnectorNameShape, "The best connector that it leads to.")
    then = each(ConnectorNameShape, "The next best, at most two. With `questions`.", optional=True)
    question = part(QuestionSchema, "The whole question so changed. With `questions`.", optional=True)


class SplitJointShape(Schema):
    """One joint of a split."""

    takes = text("The conductors in it.")
    best = part(ConnectorNameShape, "The best connector for it.")
    patch = each(PatchOperationShape, _PATCH, optional=True, minItems=1)


class JumperShape(Schema):
    """A short conductor with both ends in joints of the split."""

    size = part(SizeShape, "Its size.")
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


class SplitSourcesShape(Schema):
    """Where the figures of a split come from."""

    size = choice(SOURCE, "The size of the jumpers.")
    length = choice(SOURCE, "Their length.")
    box_allowances = choice(SOURCE, "The room that they take in a box.", optional=True)


class _Split(_LeadsTo):
    joints = each(SplitJointShape, "The joints to make, each with its connector.", minItems=2)
    jumpers = each(JumperShape, "The jumpers that tie them together.", minItems=1)
    proven_fewest = flag("Whether no fewer joints would do.")
    box_allowances = count("How many more volume allowances of a box the jumpers ask for.", optional=True)
    questions = each(
        QuestionSchema,
        "Each of the joints as a question, ready to be asked. With `questions`.",
        optional=True,
        minItems=2,
    )
    sources = part(SplitSourcesShape, "Where its figures come from. With `rules`.", optional=True)


class SplitRemedyShape(_Split):
    """Make it as several joints tied by jumpers."""

    kind = tag("split", "Make it as several joints.")


class PigtailRemedyShape(_Split):
    """Give single conductors a tail each, and join the tails."""

    kind = tag("pigtail", "Join by tails.")


class ListedShape(Schema):
    """Something that a listing would have to state."""

    attribute = text("The attribute of a listing; see `GET /v1/vocabulary`.")
    test = raw(TEST, "A comparison with the values that it compares with.")
    rules = each(fields.String(), "Ids of the rules that ask for it. With `rules`.", optional=True, minItems=1)


class ConnectorRemedyShape(_LeadsTo):
    """Find a connector that this catalogue does not have."""

    kind = tag("connector", "Another connector.")
    methods = each(word(v.METHODS, "A method."), "How it may join.", minItems=1)
    takes = text("The conductors that it has to take.")
    listing = each(ListedShape, "What its listing has to state.")


REMEDY = OneOf(
    "Remedy",
    (AlterRemedyShape, SplitRemedyShape, PigtailRemedyShape, ConnectorRemedyShape),
    "Something that would make a refused joint possible. `kind` tells its forms apart.",
    tag="kind",
)
