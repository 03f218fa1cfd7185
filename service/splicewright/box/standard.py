"""The standard boxes that would do, least first."""

from __future__ import annotations

from dataclasses import dataclass

from splicewright.box.volume import Volume
from splicewright.tables.boxes import standard_boxes


@dataclass(frozen=True, slots=True)
class Fitting:
    """A standard box with its volume and that of the extensions; `gangs` 0 where it is not made by gangs."""

    name: str
    gangs: int
    volume: Volume


def that_would_do(required: Volume, added: Volume, gangs: int) -> list[Fitting]:
    """Give the standard boxes whose volume, with what extensions add, is enough; like volumes by name.

    Boxes made by gangs are taken with as many gangs as the devices need.
    """
    found = [
        Fitting(box.name, gangs if box.per_gang else 0, Volume(box.volume(gangs)) + added)
        for box in standard_boxes().values()
    ]
    return sorted((one for one in found if one.volume >= required), key=lambda one: (one.volume, one.gangs, one.name))
