"""Problem documents (RFC 9457)."""

from __future__ import annotations

from marshmallow import Schema, fields

from splicewright.api.shapes.fields import count, each, text, word
from splicewright.error_codes import CALL_CODES, PART_CODES, TEXT_CODES

CODES = {**PART_CODES, **TEXT_CODES, **{code: told for code, told in CALL_CODES.values() if code not in PART_CODES}}


class ErrorShape(Schema):
    """One thing wrong."""

    pointer = text(
        "JSON Pointer (RFC 6901) into the body that was sent, such as `/place/exposure`. Empty where the whole is "
        "meant, or a part of the address; then the sentence names it."
    )
    says = text("What is wrong, and what to write, with the nearest right word where there is one.")
    code = word(CODES, "What kind of fault it is.")
    nearest = text("The right word or key that was probably meant.", optional=True)
    allowed = each(fields.String(), "Words or keys that would be right; at most 100 of them.", optional=True)
    line = count("The line of a text that can't be read, from 1.", optional=True, least=1)
    column = count("The column in that line, in characters, from 1.", optional=True, least=1)
    file = text("Of a file that was tried: its name; `line` is in it.", optional=True)
    rule = text("The rule, connector or other part of the file.", optional=True)
    write = text("What to write instead, where that is known.", optional=True)


class ProblemShape(Schema):
    """What went wrong (RFC 9457). Every thing wrong is told at once."""

    type = text(
        "What kind of problem it is: the address of a page about it, relative to the server's.",
        format="uri-reference",
        pattern="^/problems/[a-z-]+$",
    )
    title = text("The status in words.")
    status = count("The HTTP status.", least=400)
    detail = text("What went wrong.")
    code = word(CODES, "What kind of problem it is, in one word: the last of `type`.")
    errors = each(ErrorShape, "Each thing wrong, with its place.")
