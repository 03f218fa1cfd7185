"""What was judged, concern by concern."""

from __future__ import annotations

from marshmallow import Schema

from splicewright.api.shapes.fields import count, text, word
from splicewright.question.answer_vocabulary import WHY

JUDGED = "What was not judged; with `judged` what was, too. Look here first: what was not judged can hurt."


class JudgedShape(Schema):
    """Whether one thing that a careful electrician asks was judged. What does not arise is left out."""

    concern = text("The concern; `GET /v1/vocabulary` tells what each asks.")
    why = word(WHY, "Why it was not judged; left out where it was.", optional=True)
    asks = text("Pointer to what is to be stated, into what was sent. There where something was not.", optional=True)
    article = text("The article that it rests on. With `judged`.", optional=True)


class JobJudgedShape(JudgedShape):
    """Whether one thing that a careful electrician asks was judged, for joints of a job."""

    joint_count = count("For how many joints of the job, each as often as its quantity says.", least=0)
