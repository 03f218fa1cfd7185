"""What a check may hold: a question, and the splice that is proposed for it."""

from __future__ import annotations

from marshmallow import fields

from splicewright.question.proposal import ProposalSchema
from splicewright.question.schema import QuestionSchema
from splicewright.strict_fields import about


class CheckSchema(QuestionSchema):
    """A joint with the splice that is proposed for it, or that was made."""

    proposal = fields.Nested(
        ProposalSchema,
        required=True,
        metadata=about("The splice as it is to be made, or was made: its connector or method, and its make-up."),
    )
