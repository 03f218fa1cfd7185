"""A question in one line, read."""

from __future__ import annotations

from marshmallow import Schema

from splicewright.api.shapes.errors import ErrorShape
from splicewright.api.shapes.fields import each, raw
from splicewright.api.shapes.read_as import ReadAsShape

_QUESTION = {"oneOf": [{"$ref": "#/components/schemas/Question"}, {"type": "null"}]}


class ShortQuestionShape(Schema):
    """What a text was understood as."""

    question = raw(_QUESTION, "The question as `POST /v1/choices` takes it; null where there are problems.")
    read_as = each(
        ReadAsShape,
        "What was said in other words than a question's own, with what it was taken for; its pointers lead into "
        "`question`. There where something was.",
        optional=True,
    )
    problems = each(ErrorShape, "What could not be placed: `/column/7` is the seventh character of the text.")
