"""What a trial is asked: files, what they are laid on, and questions or a job to see what they change."""

from __future__ import annotations

from marshmallow import fields

from splicewright.codes import codes
from splicewright.job.schema import JobSchema
from splicewright.question import vocabulary as v
from splicewright.question.proposal import ProposalSchema
from splicewright.question.schema import QuestionSchema, amendments
from splicewright.strict_fields import Items, Text, Word, about
from splicewright.strict_schema import Later, Strict

MOST_FILES = 5
MOST_QUESTIONS = 200
LONGEST_FILE = 250_000


class TrialFileSchema(Strict):
    """One file: an amendment or a catalogue."""

    name = Text(100, required=True, metadata=about("Its name, such as `our-firm.yaml`: faults are told under it."))
    text = Text(LONGEST_FILE, required=True, metadata=about("What is in it, as YAML text."))


class TrialQuestionSchema(QuestionSchema):
    """A question, or a check: one with the splice that is proposed for its joint."""

    proposal = fields.Nested(ProposalSchema, metadata=about("The splice as it is to be made, or was made."))


class TrialSchema(Strict):
    """Files to try. Amendments are laid over those named, in their order; a catalogue stands in place of the named."""

    code = Word(v.CODES, metadata=about("The code edition beneath.", default=codes().default))
    amendments = amendments()
    catalogue = Text(100, metadata=about("The catalogue beneath, by its name."))
    files = Items(
        fields.Nested(TrialFileSchema), 1, MOST_FILES, required=True, metadata=about("The files, in their order.")
    )
    questions = Items(
        Later(TrialQuestionSchema),
        0,
        MOST_QUESTIONS,
        metadata=about("Questions and checks to be answered with the files and without."),
    )
    job = Later(JobSchema, metadata=about("Or a job, whose joints and boxes are."))
