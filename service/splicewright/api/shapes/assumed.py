"""What was filled in by defaults."""

from __future__ import annotations

from marshmallow import Schema

from splicewright.api.shapes.fields import count, raw, word
from splicewright.question.answer_vocabulary import ASSUMED_FROM

#: What `assumed` is.
ASSUMED = (
    "The defaults that the answer rests on, under their pointers into what was sent; with `assumed` all that were "
    "filled in. What a project file says is always told."
)


class AssumedShape(Schema):
    """A value that was filled in."""

    value = raw({}, "What was filled in, as a question would say it.")
    filled_in_by = word(ASSUMED_FROM, "Who says it, since what was sent does not.", key="from")


class AssumedInJointsShape(AssumedShape):
    """A value that was filled in for joints."""

    joint_count = count("For how many joints, each as often as its quantity says.", least=1)


class AssumedInBoxesShape(AssumedShape):
    """A value that was filled in for boxes."""

    box_count = count("For how many boxes, each as often as its quantity says.", least=1)
