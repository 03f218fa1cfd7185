"""What came of a trial."""

from __future__ import annotations

from marshmallow import Schema

from splicewright.api.shapes.answers import CatalogueUsedShape, RulesetsShape
from splicewright.api.shapes.fields import choice, count, each, flag, or_null, part, raw, text, word
from splicewright.api.shapes.sources import SOURCE, AuthorityShape
from splicewright.question.answer_vocabulary import CHANGED, EFFECT, SAID_POINT

_VALUE = {
    "oneOf": [{"type": "string"}, {"type": "boolean"}, {"type": "object", "additionalProperties": {}}, {"type": "null"}]
}
_TEXT = {"oneOf": [{"type": "string"}, {"type": "null"}]}


class TrialExamplesShape(Schema):
    """Examples of the rules tried."""

    run = count("How many were run; all do as they say.")


class RuleNoteShape(Schema):
    """What is probably not meant in a valid rule."""

    file = text("The file.")
    line = count("The line of the rule.")
    rule = text("The rule.")
    says = text("What to look at again.")
    write = text("What to write instead.")


class StackShape(RulesetsShape):
    """A code edition with amendments, and a catalogue."""

    catalogue = part(CatalogueUsedShape, "The catalogue.")


class StackChangeShape(Schema):
    """A change that something is answered otherwise by."""

    kind = word(CHANGED, "What kind of change.")
    was_called = text("The rule before.", optional=True, key="from")
    is_called = text("The rule now.", optional=True, key="to")
    name = text("The measure or connector.", optional=True)
    about = text("What the measure is.", optional=True)
    does = word(EFFECT, "What the rule does.", optional=True)
    says = text("What the rule says.", optional=True)
    source = choice(SOURCE, "Where the rule comes from.", optional=True)
    amendment = text("The amendment that it is of, where it is of one.", optional=True)
    by = part(AuthorityShape, "The right of that amendment to it, where it names one.", optional=True)
    replaces = text("The rule that it stands in place of.", optional=True)
    joints = count("In how many joints it is a cause.")
    boxes = count("In how many boxes.", optional=True)
    points = raw({"type": "object", "additionalProperties": {"type": "integer"}}, "Of how many points, by their kind.")


class CauseShape(Schema):
    """A change that a difference rests on."""

    change = count("Its place among `changes`, from 0.")
    alone = flag("Whether the first stack says the same with just this change.", optional=True)
    needed = flag("Whether the second stack without it says what the first one says.", optional=True)


class ChangedPointShape(Schema):
    """One thing that is told otherwise; null where it is not told."""

    what = word(SAID_POINT, "What kind of thing.")
    of = text("The rule, connector or phase.", optional=True)
    was = raw(_TEXT, "What was told.")
    now = raw(_TEXT, "What is told.", key="is")
    because = each(CauseShape, "The changes that bring it about; none where only several together do.")


class ChangedJointShape(Schema):
    """A joint that is answered otherwise."""

    id = text("Its id, or where it stands.")
    quantity = count("How many there are.")
    at = text("Where it stands: a JSON Pointer into the request.")
    points = each(ChangedPointShape, "What is told otherwise.")


class WasIsShape(Schema):
    """What was told, and what is."""

    was = raw(_VALUE, "What was told.")
    now = raw(_VALUE, "What is told.", key="is")


class ChangedAllowanceShape(WasIsShape):
    """An allowance that is counted otherwise."""

    of = text("What is counted.", key="for")


class ChangedBoxShape(Schema):
    """A box whose fill is told otherwise."""

    id = text("Its id, or where it stands.")
    quantity = count("How many there are.")
    at = text("Where it stands.")
    required = part(WasIsShape, "The volume that it needs.")
    fits = part(WasIsShape, "Whether it is large enough.")
    allowances = each(ChangedAllowanceShape, "What is counted otherwise.")
    because = each(CauseShape, "The changes that bring it about.")


class MovedRuleShape(Schema):
    """A rule that says the same under another id."""

    was_called = text("Its id before.", key="from")
    is_called = text("Its id now.", key="to")


class ImpactShape(Schema):
    """What a step from one stack to another changes."""

    old = part(StackShape, "What was asked.", key="from")
    new = part(StackShape, "What would be asked.", key="to")
    asked = count("How many joints were put to both.")
    changed = count("How many of them are answered otherwise.")
    decided = count("How many of those with another outcome, best connector, or verdict on a proposal.")
    changes = each(StackChangeShape, "The changes that anything is answered otherwise by.")
    joints = each(ChangedJointShape, "The joints that are.")
    boxes = each(ChangedBoxShape, "The boxes that are.")
    moved = each(MovedRuleShape, "Rules that only moved.")
    without_effect = count("How many changes nothing is answered otherwise by.")


class TrialAnswerShape(Schema):
    """What came of a trial."""

    rulesets = part(RulesetsShape, "The rules as they would be.")
    catalogue = part(CatalogueUsedShape, "The catalogue as it would be.")
    examples = part(TrialExamplesShape, "The examples of the rules tried.")
    notes = each(RuleNoteShape, "What is probably not meant.")
    impact = or_null(ImpactShape, "What changes in the questions or the job that were sent; null where none were.")
