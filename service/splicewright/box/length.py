"""The free length of wires at the opening of the box."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from splicewright.box.model import BoxRequest
from splicewright.box.read import shorter
from splicewright.reading import Problem, join
from splicewright.tables.boxes import free_length, free_length_says, free_length_source

#: The units in which the code has figures, the first for those who are told.
_UNITS = ("in", "mm")


def length_asked(request: BoxRequest) -> dict[str, Any] | None:
    """Give {free, outside?, says, source}, in inches and millimetres; None where no wire ends in the box."""
    if not any(wire.path == "ends" for wire in request.contents.wires):
        return None
    asked: dict[str, Any] = {"free": {unit: free_length(unit).free for unit in _UNITS}}
    if request.opening != "large":
        asked["outside"] = {unit: free_length(unit).outside for unit in _UNITS}
    says = free_length_says(request.opening, _UNITS[0])
    return {**asked, "says": says, "source": free_length_source(request.code)}


def too_short(request: BoxRequest) -> Iterator[Problem]:
    """Tell the wires that end in the box and were stated to be shorter, each compared in its own unit."""
    for at, wire in enumerate(request.contents.wires):
        if wire.path != "ends":
            continue
        checks = [("free", wire.free)] + ([("outside", wire.outside)] if request.opening == "small" else [])
        for key, length in checks:
            if length and shorter(length, limit := getattr(free_length(length.unit), key)):
                says = f"is {length}, shorter than the {limit} {length.unit} that a wire joined or ended here needs"
                yield Problem(join("/wires", at, key), says)
