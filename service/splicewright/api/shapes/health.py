"""Whether the server is well."""

from __future__ import annotations

from marshmallow import Schema

from splicewright.api.shapes.answers import CatalogueUsedShape
from splicewright.api.shapes.fields import part, tag, text, word
from splicewright.question import vocabulary as v


class LiveShape(Schema):
    """The process runs."""

    status = tag("live", "Always `live`.")


class RulesReadyShape(Schema):
    """The rules that are in use."""

    code = word(v.CODES, "The code edition that is asked where none is named.")
    digest = text("Changes whenever a rule or a table does.")


class ReadyShape(Schema):
    """Questions can be answered."""

    status = tag("ready", "Always `ready`.")
    version = text("The version of the software.")
    contract = text("The version of this document, as its `info.version`.")
    rulesets = part(RulesReadyShape, "The rules that are in use.")
    catalogue = part(CatalogueUsedShape, "The catalogue that is in use.")
