"""Where a rule or a figure comes from."""

from __future__ import annotations

from marshmallow import Schema

from splicewright.api.shapes.fields import OneOf, tag, text, word
from splicewright.question.answer_vocabulary import OBTAINED


class PublishedShape(Schema):
    """A published source."""

    kind = tag("published", "A document that was published.")
    document = text("The document.")
    edition = text("Its edition, where that matters.", optional=True)
    section = text("The section.")
    obtained = word(OBTAINED, "Whether the section was read, or is cited from memory.")
    checked = text("The day on which it was read, such as 2026-11-25.", optional=True)


class CommonPracticeShape(Schema):
    """What is done in the trade, for which nothing is published."""

    kind = tag("common-practice", "Nothing is published for it.")


class AuthorityShape(Schema):
    """By what right an amendment departs from a code."""

    authority = text("Who says so.")
    document = text("In which document.")
    section = text("The section.")
    obtained = word(OBTAINED, "Whether the section was read, or is cited from memory.")
    checked = text("The day on which it was read, such as 2026-11-25.", optional=True)


SOURCE = OneOf(
    "Source",
    (PublishedShape, CommonPracticeShape),
    "Where a rule or a figure comes from. `kind` tells its forms apart.",
    tag="kind",
)


class ListingSourceShape(Schema):
    """Where a listing was read, as its user says."""

    document = text("The carton, sheet or page.")
    where = text("Where in it.", optional=True)
    read_on = text("The day, such as `2026-11-30`.", optional=True)
    read_by = text("Who read it.", optional=True)
