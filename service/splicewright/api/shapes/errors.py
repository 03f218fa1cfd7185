"""Problem documents (RFC 9457)."""

from __future__ import annotations

from marshmallow import Schema

from splicewright.api.shapes.fields import count, each, text


class ErrorShape(Schema):
    """One thing wrong."""

    pointer = text(
        "JSON Pointer (RFC 6901) into the body that was sent, such as `/place/exposure`. Empty where the whole is "
        "meant, or a part of the address; then the sentence names it."
    )
    says = text("What is wrong, and what to write, with the nearest right word where there is one.")


class ProblemShape(Schema):
    """What went wrong (RFC 9457). Every thing wrong is told at once."""

    type = text("Always `about:blank`: the status says what kind of problem it is.")
    title = text("The status in words.")
    status = count("The HTTP status.", least=400)
    detail = text("What went wrong.")
    errors = each(ErrorShape, "Each thing wrong, with its place.")
