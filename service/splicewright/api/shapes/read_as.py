"""What was sent in other words than a question's own, and taken for them."""

from __future__ import annotations

from marshmallow import Schema

from splicewright.api.shapes.fields import each, raw, text


class ReadAsShape(Schema):
    """One word, size or quantity that was written in another way than a question writes it."""

    pointer = text("Pointer to it, into what was sent.")
    sent = text("What was sent.")
    taken = raw({}, "What it was taken for: the one thing that it means.")


READ_AS = each(
    ReadAsShape,
    "What was sent in other words than a question's own and has one meaning, with what it was taken for. There where "
    "something was. It is no part of `answer`.",
    optional=True,
)
