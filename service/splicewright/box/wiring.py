"""What the wires of a box, its joints and its devices say of each other: where they can't all be true; free lengths."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator
from typing import Any

from splicewright.box.joints import Decided
from splicewright.box.model import BoxRequest
from splicewright.box.read import shorter
from splicewright.json_pointer import join
from splicewright.refusals import Problem
from splicewright.tables.boxes import free_length, free_length_says, free_length_source
from splicewright.units import Size

_MORE_ENDS = (
    "the joints take {count} ends of {size}, but the wires of the box have {had}; list every conductor, pigtails and "
    "jumpers among them"
)
_TAPS_NONE = (
    "taps a {size} conductor that passes through, but no such wire passes through the box; list every conductor in "
    "wires"
)
_NO_SUCH_WIRE = "is {size}, but no wire of that size is in the box; list every conductor in wires"
_TOO_SHORT = "is {length}, shorter than the {limit} {unit} that a wire joined or ended here needs"
_TOO_FEW_GANGS = "is {stated}, but the devices need {needed} gangs"
#: Every sentence here, its places open: work sheets in other languages have each.
SENTENCES = (_MORE_ENDS, _TAPS_NONE, _NO_SUCH_WIRE, _TOO_SHORT, _TOO_FEW_GANGS)


def more_than_the_wires(request: BoxRequest, decided: Iterable[Decided]) -> Iterator[Problem]:
    """Tell the sizes of which the joints take more ends than the wires of the box have, and taps on no wire.

    A wire that ends in the box has one end to join there; a pigtail or jumper has two; one that passes through or
    is looped has none, but may be tapped. More ends than that can't be: the fill was reckoned with too few wires.
    """
    ends: Counter[Size] = Counter()
    uncut: set[Size] = set()
    for wire in request.contents.wires:
        if wire.path in ("through", "looped"):
            uncut.add(wire.size)
        else:
            ends[wire.size] += wire.count * (2 if wire.path == "stays" else 1)
    joined: Counter[Size] = Counter()
    for one in decided:
        for conductor in one.joint.conductors if one.joint else ():
            if conductor.path == "ends":
                joined[conductor.size] += conductor.count
            elif conductor.size not in uncut:
                yield Problem(join(one.pointer, "joint"), _TAPS_NONE.format(size=conductor.size))
    for size in sorted(joined, reverse=True):
        if joined[size] > ends[size]:
            yield Problem("/wires", _MORE_ENDS.format(count=joined[size], size=size, had=ends[size]))


def on_no_wire(request: BoxRequest) -> Iterator[Problem]:
    """Tell devices and terminal blocks whose largest conductor is of a size that is not among the wires."""
    sizes = {wire.size for wire in request.contents.wires}
    for key, pieces in (("devices", request.contents.devices), ("terminal_blocks", request.contents.terminal_blocks)):
        for at, piece in enumerate(pieces):
            if piece.size not in sizes:
                yield Problem(join("", key, at, "largest"), _NO_SUCH_WIRE.format(size=piece.size))


def too_few_gangs(request: BoxRequest) -> Iterator[Problem]:
    """Tell that the devices need more gangs than were stated."""
    if request.gangs and (needed := request.contents.gangs) > request.gangs:
        yield Problem("/box/gangs", _TOO_FEW_GANGS.format(stated=request.gangs, needed=needed))


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
                says = _TOO_SHORT.format(length=length, limit=limit, unit=length.unit)
                yield Problem(join("/wires", at, key), says)
