"""The shape of a rule file. What stands inside `when` and the effects is read by `comparisons` and `effects`."""

from __future__ import annotations

import datetime as dt
import re
from typing import Any

from marshmallow import ValidationError, fields, validate

from splicewright.refusals import Says, shown
from splicewright.rulebook.model import RuleSource
from splicewright.strict_fields import Text, Word
from splicewright.strict_schema import Strict, made_once, read_or_load

ID = re.compile(r"[a-z][a-z0-9]*(-[a-z0-9]+)*\Z")
#: The order in which every rule writes its keys.
ORDER = (
    "id", "editions", "when", "excuses", "conclude", "demand", "bar", "refer", "refuse", "prefer", "step", "caution",
    "defect", "ask", "tolerance", "remedies", "says", "note", "source", "by", "replaces",
    "succeeds", "examples",
)  # fmt: skip


def is_day(text: str) -> None:
    """Refuse what is no day. Raises `ValidationError`."""
    try:
        if len(text) == len("2026-11-25"):
            dt.date.fromisoformat(text)
            return
    except ValueError:
        pass
    raise ValidationError("is a day like 2026-11-25")


def has_words(text: str) -> bool:
    """Tell whether text says anything: blanks and strokes alone do not, whatever script it is in."""
    return any(map(str.isalnum, text))


class Worded(Text):
    """Text that says something."""

    def _deserialize(self, value: Any, *more: Any, **kwargs: Any) -> str:
        text = super()._deserialize(value, *more, **kwargs)
        if not has_words(text):
            raise ValidationError(Says(f"{shown(text)} has no words", "not-valid"))
        return text


class QuotedText(Worded):
    """Text that YAML takes for a number unless it is put into quotes, such as a section."""

    def _deserialize(self, value: Any, *more: Any, **kwargs: Any) -> str:
        if isinstance(value, int | float) and not isinstance(value, bool):
            # What was written is not known here: 110.10 came as 110.1.
            raise ValidationError(f"{shown(value)} is a number; put what is meant into quotes")
        return super()._deserialize(value, *more, **kwargs)


class SourceField(fields.Field[RuleSource]):
    """`common-practice`, or a document with its section and whether its text was read."""

    default_error_messages = {"required": "is missing: every rule has a source, or says common-practice"}  # noqa: RUF012

    def _deserialize(self, value: Any, *_: Any, **__: Any) -> RuleSource:
        if value == "common-practice":
            return RuleSource(None)
        if not isinstance(value, dict):
            raise ValidationError(
                f"{shown(value)} is not a source; write common-practice or {{document, section, obtained}}"
            )
        return RuleSource(**read_or_load(made_once(SourceSchema), value))


class SourceSchema(Strict):
    """A published source."""

    document = Worded(80, required=True)
    edition = fields.Raw()
    section = QuotedText(80, required=True)
    obtained = Word(("page", "memory"), required=True)
    checked = Worded(10, validate=is_day)


def _of_question() -> fields.Dict:
    return fields.Dict(error_messages={"invalid": "must be a map, a part of a question: {{place: {{exposure: wet}}}}"})


def is_phrase(text: str) -> None:
    """Refuse an id that is no phrase. Raises `ValidationError`."""
    if ID.match(text):
        return
    name = text.rpartition("/")[2]
    if "/" in text and ID.match(name):
        says = "the file's name is put before it when it is cited; write"
        raise ValidationError(Says(f"{says} {name}", "not-valid", name))
    raise ValidationError(no_phrase(text, "is not a phrase of plain words like buried-is-wet"))


def no_phrase(text: str, says: str) -> Says:
    """Say what is wrong with a name, and how it is written as a phrase where its words make one."""
    written = "-".join(re.findall(r"[a-z0-9]+", text.lower()))
    return Says(f"{says}; write {written}", "not-valid", written) if ID.match(written) else Says(says, "not-valid")


class ExamplesSchema(Strict):
    """Partial questions on which a rule fires, and near misses on which it is silent."""

    fires = fields.List(_of_question(), required=True, validate=validate.Length(1, error="needs at least one question"))
    silent = fields.List(_of_question(), load_default=list)


class RuleSchema(Strict):
    """One rule."""

    id = Text(
        60,
        required=True,
        validate=is_phrase,
    )
    editions = fields.Raw()
    when = fields.Raw(required=True)
    excuses = fields.Raw()
    conclude = fields.Raw()
    demand = fields.Raw()
    bar = fields.Raw()
    refer = fields.Raw()
    refuse = fields.Raw()
    prefer = fields.Raw()
    step = fields.Raw()
    caution = fields.Raw()
    defect = fields.Raw()
    ask = fields.Raw()
    tolerance = fields.Raw()
    remedies = fields.Raw()
    says = Worded(240, required=True)
    note = Worded(400)
    source = SourceField(required=True)
    succeeds = Worded(100)
    examples = fields.Nested(ExamplesSchema, required=True)


class RulesetSchema(Strict):
    """One rule file."""

    ruleset = Worded(40, required=True)
    about = Worded(300, required=True)
    through = fields.Raw()
    rules = fields.List(fields.Nested(RuleSchema), required=True)
