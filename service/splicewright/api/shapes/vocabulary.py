"""What requests are made of."""

from __future__ import annotations

from marshmallow import Schema, fields

from splicewright.api.shapes.fields import count, each, flag, number, raw, text, word

KINDS = {
    "text": "text of the caller's own, or a name that the server knows",
    "tag": "a free word: small letters, digits, and hyphens between them",
    "word": "a word of `list`",
    "words": "words of `list`",
    "flag": "true or false",
    "number": "a number",
    "size": "a conductor size with its unit, such as those of `list`",
    "quantity": "a number with a unit: `{value, unit}`",
    "flag-or-quantity": "true, false, or a number with a unit",
}
REPEATED = {"list": "it stands in a list, any number of times", "map": "it stands in a map, under names of its own"}
ROUNDED = {"up": "to the next above", "down": "to the next below"}
_POINTER = "JSON Pointer into the body; `*` is any place of a list or name of a map."


class FormConditionShape(Schema):
    """What another part has to be: one of some words, given or assumed; or given at all, or left out."""

    pointer = text("JSON Pointer to the other part; each `*` stands for the same place as in the part's own pointer.")
    words = each(
        raw({}, "A word, or true or false."), "It has to be one of these.", optional=True, key="is", minItems=1
    )
    stated = flag("Whether it has to be given at all, or left out.", optional=True)


class FormGroupShape(Schema):
    """An object of a body, whose parts stand together in a form."""

    pointer = text(_POINTER)
    label = text("What a form may call it.")
    about = text("What it is.")
    required = flag("Whether it has to be given.")
    laid = flag("Whether what is left out in it is as the job's `defaults`, or the box around it, say.")
    repeated = word(REPEATED, "How it is repeated, where it is.", optional=True)
    least = count("How often at least, where it stands in a list.", optional=True)
    most = count("How often at most, where it stands in a list.", optional=True)
    required_if = each(FormConditionShape, "It has to be given where all of these hold.", optional=True, minItems=1)


class FormPartShape(Schema):
    """A part of a body that has no parts itself."""

    pointer = text(_POINTER)
    group = text("Pointer of the group that it stands in.")
    order = count("Its place in the form.", least=1)
    label = text("What a form may call it.")
    about = text("What it says.")
    kind = word(KINDS, "What it holds.")
    required = flag("Whether it has to be given, where its group is.")
    several = flag("Whether several may be given, as a list.")
    words = text("The list that its words are of.", optional=True, key="list")
    least = number("The least that a number may be.", optional=True)
    most = number("The most that a number may be.", optional=True)
    decimals = count("How many decimals are read; 0 is a whole number. Left out where all are.", optional=True)
    rounded = word(ROUNDED, "How a number with more decimals is rounded; left out where it is refused.", optional=True)
    units = each(fields.String(), "The units of a quantity, or the one that a number is in.", optional=True)
    longest = count("The most characters that a text may have.", optional=True)
    assumed = raw(
        {}, "What is assumed where it is left out. Not there where nothing is, or where that depends.", optional=True
    )
    asked_if = each(FormConditionShape, "A form asks for it only where all of these hold.", optional=True, minItems=1)
    required_if = each(FormConditionShape, "It has to be given where all of these hold.", optional=True, minItems=1)


class FormShape(Schema):
    """The body of a call, as a form."""

    call = text("The call, such as `/v1/choices`.")
    groups = each(FormGroupShape, "Its objects, in their order; the first is the whole body.")
    parts = each(FormPartShape, "Its parts, in their order.")


class MeaningShape(Schema):
    """A word."""

    word = text("The word, as it is written.")
    means = text("What it means.")
    hurts = flag("Of a concern: whether it is told first where it was not judged, for it can hurt.", optional=True)


class WordListShape(Schema):
    """A list of words."""

    name = text("Its name.")
    about = text("What it says.")
    others = flag("Whether others of their kind are taken too, as `about` says: sizes.")
    words = each(MeaningShape, "The words.")


class VocabularyShape(Schema):
    """Every request as a form, and every word of requests and answers."""

    forms = each(FormShape, "The forms of the calls that decide.")
    lists = each(WordListShape, "Lists of words: those of requests, then those of answers.")
