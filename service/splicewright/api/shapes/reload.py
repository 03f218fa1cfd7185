"""What is in use after a reload."""

from __future__ import annotations

from marshmallow import Schema

from splicewright.api.shapes.fields import by_name, tag, text


class ReloadedShape(Schema):
    """All that is on disk has been taken into use."""

    status = tag("reloaded", "Always `reloaded`.")
    rulesets = by_name(text("Changes whenever a rule or a table does."), "Digest of the rules in use, by code.")
    catalogues = by_name(text("Changes whenever a connector does."), "Digest of each catalogue in use, by name.")
