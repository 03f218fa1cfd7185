"""Amendments of a code that a server knows."""

from __future__ import annotations

from marshmallow import Schema, fields

from splicewright.api.shapes.fields import count, each, part, text
from splicewright.api.shapes.sources import AuthorityShape


class AmendmentShape(Schema):
    """An amendment."""

    name = text("Its name, as a question gives it under `amendments`.")
    about = text("What it changes.")
    amends = each(fields.String(), "The code editions or codes that it is for; or `every-code`.", minItems=1)
    by = part(AuthorityShape, "The right that it claims, where it claims one for all it does.", optional=True)
    rules = count("How many rules it adds, those in place of others included.")
    withdrawn = count("How many rules it takes out without another in their place.")
    digest = text("Changes whenever the amendment does.")


class AmendmentsShape(Schema):
    """The amendments that the server knows."""

    amendments = each(AmendmentShape, "The amendments, by name.")
