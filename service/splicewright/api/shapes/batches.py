"""The lines and items of a batch."""

from __future__ import annotations

from dataclasses import replace

from marshmallow import Schema

from splicewright.api.shapes.answers import ANSWER
from splicewright.api.shapes.checks import CHECKED
from splicewright.api.shapes.errors import ErrorShape, ProblemShape
from splicewright.api.shapes.fields import OneOf, count, each, part, raw
from splicewright.inspection.schema import CheckSchema
from splicewright.question.schema import QuestionSchema


class BadLineShape(Schema):
    """A line or item that is no valid question or check; the others are answered."""

    id = raw({"type": ["string", "null"]}, "The question's `id`, where it has one that can be read.")
    line = count("Its line, or its place in the list, counted from 1.", least=1)
    errors = each(ErrorShape, "Each thing wrong; pointers are into the question on that line.", minItems=1)


class CountsShape(Schema):
    """What a batch came to."""

    lines = count("Lines read.")
    answers = count("Lines answered.")
    errors = count("Lines in error.")


class SummaryLineShape(Schema):
    """The last line of a batch that was answered to its end."""

    summary = part(CountsShape, "What it came to.")


class ProblemLineShape(Schema):
    """The last line of a batch that could not be finished: the lines before it hold, those after are not answered."""

    problem = part(ProblemShape, "Why not.")


BATCH_ITEMS = OneOf(
    "BatchItem",
    (ANSWER, CHECKED, BadLineShape),
    "An answer, or what is wrong with a question or check of the batch.",
    several=True,
)
BATCH_LINE = OneOf(
    "BatchLine",
    (ANSWER, CHECKED, BadLineShape, SummaryLineShape, ProblemLineShape),
    "One line of a batch's answer: an answer has `outcome`, a check `verdict`, a bad line `errors`, the last line "
    "`summary` or `problem`.",
)
QUESTION = OneOf("BatchQuestion", (QuestionSchema, CheckSchema), "A question of a batch, or a check.")
QUESTIONS = replace(QUESTION, several=True)
