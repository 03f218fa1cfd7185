"""Drawings of answers: the joint beside its connector, the strip length at 1:1, the room of a box.

They are made of an answer and the listing of a connector alone, as JSON has them, and each says in words what it shows.
"""

from __future__ import annotations

from splicewright.drawing.canvas import WIDE_MM, Drawing, Say, in_english
from splicewright.drawing.joint import joint_drawing
from splicewright.drawing.room import room_bar
from splicewright.drawing.strip import control_line, strip_bar

__all__ = ["WIDE_MM", "Drawing", "Say", "control_line", "in_english", "joint_drawing", "room_bar", "strip_bar"]
