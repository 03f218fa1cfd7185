"""Drawings of an answer."""

from __future__ import annotations

from marshmallow import Schema

from splicewright.api.shapes.fields import each, text


class DrawingShape(Schema):
    """A drawing, and the same in words."""

    svg = text("The drawing as SVG, its size in mm; empty where there is nothing to draw at its size.")
    text = text("What it shows.")


class DrawingsShape(Schema):
    """The drawings of an answer."""

    drawings = each(
        DrawingShape,
        "Of a question the joint to scale, beside its best connector where it has one, then strip lengths at 1:1; of a "
        "box its room.",
    )
