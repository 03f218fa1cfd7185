"""Rules, in a list and one by one."""

from __future__ import annotations

from marshmallow import Schema, fields

from splicewright.api.shapes.answers import RulesetsShape
from splicewright.api.shapes.fields import ANY_MAP, by_name, choice, each, part, raw, text, word
from splicewright.api.shapes.sources import SOURCE, AuthorityShape
from splicewright.question.answer_vocabulary import EFFECT

_ALWAYS = {"type": "string", "const": "always", "enum": ["always"]}


class RuleLineShape(Schema):
    """A rule, as a list has it."""

    id = text("Its id: the ruleset, a slash, and a phrase.")
    does = word(EFFECT, "What it does.")
    says = text("What it says, with places in braces for the facts that it matched.")
    source = choice(SOURCE, "Where it comes from.")
    amendment = text("The amendment that it is of, where it is of one.", optional=True)
    by = part(AuthorityShape, "The right of that amendment to it, where it names one.", optional=True)
    replaces = text("The rule that it stands in place of.", optional=True)


class RulesShape(Schema):
    """Rules."""

    rulesets = part(RulesetsShape, "The rules that were asked.")
    about = by_name(fields.String(), "What each ruleset settles.")
    rules = each(RuleLineShape, "The rules, in the order of their ids.")


class HoldsForShape(Schema):
    """What a rule holds for."""

    code = text("The code, or `every code`.")
    editions = text("The editions that it was read for, such as `2017-2020` or `2023`; or `all`.")


class RuleExamplesShape(Schema):
    """Examples that are run as tests of the rule."""

    fires = each(fields.Dict(), "Parts of questions on which it fires.")
    silent = each(fields.Dict(), "Near misses, on which it is silent.")


class RuleShape(RuleLineShape):
    """A rule whole."""

    rulesets = part(RulesetsShape, "The rules that were asked.")
    ruleset = text("Its ruleset.")
    holds_for = part(HoldsForShape, "The code and the editions that it holds for.")
    when = raw(
        {"oneOf": [_ALWAYS, {"type": "array", "items": ANY_MAP}]},
        "What must hold, all of it; a list of values is any of them. Or `always`.",
    )
    excuses = each(fields.Dict(), "Words that it leaves out on purpose, each with why (`because`).", optional=True)
    effect = raw({}, "What it does, as its file writes it.")
    remedies = each(fields.Dict(), "Small changes that may make the joint possible, to be tried.", optional=True)
    succeeds = text("The rule of an earlier edition that it goes on from.", optional=True)
    note = text("How an unclear sentence of the source is read.", optional=True)
    examples = part(RuleExamplesShape, "Examples, run as its tests.")
