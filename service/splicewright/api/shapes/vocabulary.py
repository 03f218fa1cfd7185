"""What requests are made of."""

from __future__ import annotations

from marshmallow import Schema

from splicewright.api.shapes.fields import count, each, flag, number, part, raw, text

_ASSUMED = "What is assumed where it is left out. Not there where nothing is, or where that depends on other parts."


class WhereShape(Schema):
    """Where something goes in a request."""

    call = text("The call, such as `/v1/choices`.")
    pointer = text(
        "JSON Pointer into its body, such as `/joint/conductors/*/size`; `*` is any place of a list or name of a map."
    )


class MeaningShape(Schema):
    """A word."""

    word = text("The word, as it is written.")
    means = text("What it means.")


class WordListShape(Schema):
    """A list of words."""

    name = text("Its name.")
    about = text("What it says.")
    at = each(WhereShape, "Where its words go. Empty where only answers have them.")
    several = flag("Whether several of them may be given, as a list.")
    others = flag("Whether others of their kind are taken too, as `about` says: sizes.")
    assumed = raw({}, _ASSUMED, optional=True)
    words = each(MeaningShape, "The words.")


class NumberRangeShape(Schema):
    """A number of a request."""

    at = part(WhereShape, "Where it goes.")
    about = text("What it says.")
    least = number("The least that is taken.")
    most = number("The most that is taken.")
    decimals = count("How many decimals it may have; 0 is a whole number.")
    assumed = raw({}, _ASSUMED, optional=True)


class FlagPartShape(Schema):
    """A part of a request that is true or false."""

    at = part(WhereShape, "Where it goes.")
    about = text("What it says.")
    assumed = flag(_ASSUMED, optional=True)


class TextPartShape(Schema):
    """A part of a request that is text of the caller's own, or a name that the server knows."""

    at = part(WhereShape, "Where it goes.")
    about = text("What it says.")
    longest = count("The most characters that it may have.")
    assumed = raw({}, _ASSUMED, optional=True)


class VocabularyShape(Schema):
    """Every part that a request may have, and every word of requests and answers."""

    lists = each(WordListShape, "Lists of words: those of requests, then those of answers.")
    numbers = each(NumberRangeShape, "Every number that a request may have.")
    flags = each(FlagPartShape, "Every part of a request that is true or false.")
    texts = each(TextPartShape, "Every part of a request that is text.")
