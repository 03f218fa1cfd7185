"""Where a rule or a figure comes from."""

from __future__ import annotations

from marshmallow import Schema

from splicewright.api.shapes.fields import OneOf, raw, text, word
from splicewright.question.answer_vocabulary import OBTAINED


class PublishedShape(Schema):
    """A published source."""

    document = text("The document.")
    edition = raw({"type": ["string", "integer"]}, "Its edition, where that matters.", optional=True)
    section = text("The section.")
    obtained = word(OBTAINED, "Whether the section was read, or is cited from memory.")
    checked = text("The day on which it was read, such as 2026-11-25.", optional=True)


SOURCE = OneOf(
    "Source",
    (PublishedShape, {"type": "string", "const": "common-practice", "enum": ["common-practice"]}),
    "Where a rule comes from: a document with its section, or `common-practice`, for which nothing is published.",
)
