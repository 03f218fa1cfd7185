"""What was sent in other words than a question's own, and taken for them."""

from __future__ import annotations

from marshmallow import Schema

from splicewright.api.shapes.fields import each, raw, text


class ReadAsShape(Schema):
    """One word, size or quantity that was written otherwise than a question writes it, or more finely than is read."""

    pointer = text("Pointer to it, into what was sent.")
    sent = raw({"type": ["string", "number"]}, "What was sent.")
    taken = raw({}, "What it was taken for: the one thing that it means, or the number rounded to its safe side.")


READ_AS = each(
    ReadAsShape,
    "What was sent in other words than a question's own and has one meaning, with what it was taken for. There where "
    "something was. It is no part of `answer`.",
    optional=True,
)
