"""What stands in place of an answer where one of many questions is not valid."""

from __future__ import annotations

from marshmallow import Schema

from splicewright.api.shapes.errors import ErrorShape
from splicewright.api.shapes.fields import count, each, tag, text


class _Bad(Schema):
    outcome = tag("error", "It is not valid; the others are answered.")
    id = text("Its `id`, where it has one that can be read.", optional=True)


class BadItemShape(_Bad):
    """One of a list that is not valid; the others are answered."""

    pointer = text("JSON Pointer into the request: which one it is.")
    errors = each(ErrorShape, "Each thing wrong; pointers are into the request.", minItems=1)


class BadLineShape(_Bad):
    """A line that is no valid question; the others are answered."""

    line = count("Its number, from 1.", least=1)
    errors = each(ErrorShape, "Each thing wrong; pointers are into the question on that line.", minItems=1)
