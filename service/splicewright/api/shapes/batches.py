"""The lines and items of a batch."""

from __future__ import annotations

from dataclasses import replace

from marshmallow import Schema

from splicewright.api.shapes.answers import ANSWER
from splicewright.api.shapes.bad_items import BadItemShape, BadLineShape
from splicewright.api.shapes.checks import CHECKED
from splicewright.api.shapes.errors import ProblemShape
from splicewright.api.shapes.fields import OneOf, count, part
from splicewright.inspection.schema import CheckSchema
from splicewright.question.schema import QuestionSchema


class BatchSummaryShape(Schema):
    """What a batch came to."""

    line_count = count("Lines read.")
    answer_count = count("Lines answered.")
    error_count = count("Lines in error.")


class SummaryLineShape(Schema):
    """The last line of a batch that was answered to its end."""

    summary = part(BatchSummaryShape, "What it came to.")


class ProblemLineShape(Schema):
    """The last line of a batch that could not be finished: the lines before it hold, those after are not answered."""

    problem = part(ProblemShape, "Why not.")


BATCH_ITEMS = OneOf(
    "BatchItem",
    (ANSWER, CHECKED, BadItemShape),
    "An answer or, where its `outcome` is `error`, what is wrong with a question or check of the batch.",
    several=True,
)
BATCH_LINE = OneOf(
    "BatchLine",
    (ANSWER, CHECKED, BadLineShape, SummaryLineShape, ProblemLineShape),
    "One line of a batch's answer: an answer has `outcome`, which is `error` for a bad line, a check `verdict`; the "
    "last line has "
    "`summary` or `problem`.",
)
QUESTION = OneOf("BatchQuestion", (QuestionSchema, CheckSchema), "A question of a batch, or a check.")
QUESTIONS = replace(QUESTION, several=True)
