"""Slips in one listing that can be read all the same: what contradicts itself, and what no carton says."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterable, Iterator, Mapping
from fractions import Fraction
from typing import Any, Literal, NamedTuple

from splicewright.catalogue.listing_marks import marks
from splicewright.catalogue.model import Connector
from splicewright.units import Size, exact

Level = Literal["error", "warning"]
_MM = 1000  # micrometres


class Slip(NamedTuple):
    """One thing that is wrong (`error`) or unlikely (`warning`): where in the listing, and what to look for."""

    level: Level
    pointer: str
    says: str
    look_for: str = ""  # a key of `words/carton.yaml`


class Listed(NamedTuple):
    """One listing as it is written and as it was read."""

    given: Mapping[str, Any]
    connector: Connector
    today: dt.date | None = None  # None: it is not looked at by the day; an answer is the same on every one

    def says(self, name: str) -> bool | None:
        """Give what it says of a flag; None where it says nothing."""
        found = self.given.get(name)
        return found if isinstance(found, bool) else None

    @property
    def sizes(self) -> list[Size]:
        """The ends of all that it takes."""
        found: list[Size] = []
        for take in self.connector.takes:
            found += [entry.size for combination in take.combinations for entry in combination.entries]
            found += [end for port in take.ports for one in port.ranges for end in (one.least, one.most)]
            found += [end for one in take.metal for end in (one.thinnest, one.thickest)]
        return found


Check = Callable[[Listed], Iterable[Slip]]
SLIPS: list[Check] = []
GRAVE: list[Check] = []  # of them those that may find an error


def check(function: Check) -> Check:
    """Enter a check that finds what is unlikely."""
    SLIPS.append(function)
    return function


def grave_check(function: Check) -> Check:
    """Enter a check that may find an error: what has one is not taken into use."""
    GRAVE.append(function)
    return check(function)


def error(pointer: str, says: str, look_for: str = "") -> Slip:
    """Give what is wrong; what to look for is what the pointer leads to, unless told."""
    return Slip("error", pointer, says, look_for or pointer.split("/")[1])


def beyond_usual(one: Listed, pointer: str, says: str, look_for: str = "") -> Slip:
    """Give what hardly any carton says: an error, until the listing says that it was looked at again."""
    if one.says("sure"):
        return warning(pointer, says, look_for)
    return error(pointer, f"{says}; where the carton says so all the same, write sure: true", look_for)


def warning(pointer: str, says: str, look_for: str = "") -> Slip:
    """Give what is unlikely; what to look for is what the pointer leads to, unless told."""
    return Slip("warning", pointer, says, look_for or pointer.split("/")[1])


# --- what contradicts itself ---------------------------------------------------------------------


@grave_check
def _used_again(one: Listed) -> Iterator[Slip]:
    method = one.connector.method
    if one.says("reusable") and one.says("irreversible"):
        yield error("/reusable", "is true beside irreversible; what can't be undone is not used again")
    elif one.says("reusable") and method in marks().for_good:
        yield error("/reusable", f"is true, but what joins by {method} can't be undone")
    if one.says("irreversible") is False and method in marks().for_good:
        yield warning("/irreversible", f"is false, but what joins by {method} can't be undone")


@grave_check
def _reach(one: Listed) -> Iterator[Slip]:
    ends = marks().reach.get(one.connector.method)
    if ends is None:
        return
    each = {size.text: size for size in one.sizes}
    beyond = sorted(size for size in each.values() if not ends[0] <= size <= ends[1])
    if beyond:
        names = ", ".join(size.text for size in beyond[:3])
        says = f"takes {names}; {one.connector.method} joins {ends[0]} to {ends[1]}"
        yield beyond_usual(one, "/takes", says)


@grave_check
def _volts(one: Listed) -> Iterator[Slip]:
    volts, more = (one.connector.attributes.get(name) for name in ("volts", "luminaire_volts"))
    if isinstance(volts, int) and isinstance(more, int) and more < volts:
        yield error("/luminaire_volts", "is less than volts; the mark for luminaires is the higher one")
    for name, value in (("volts", volts), ("luminaire_volts", more)):
        if isinstance(value, int) and Fraction(value, 10) not in marks().volts:
            listed = ", ".join(f"{mark} V" for mark in marks().volts)
            yield warning(f"/{name}", f"is {value / 10:g} V, which hardly any listing has; usual are {listed}")


@check
def _degrees(one: Listed) -> Iterator[Slip]:
    value = one.connector.attributes.get("degrees")
    # Fahrenheit is printed in round figures: a degree or so either way is the same mark.
    if isinstance(value, int) and not any(abs(value - mark * 90) <= 90 for mark in marks().degrees):
        listed = ", ".join(map(str, marks().degrees[:8]))
        yield warning("/degrees", f"is {value / 90:g} degC, which hardly any listing has; usual are {listed} and more")


@grave_check
def _metals(one: Listed) -> Iterator[Slip]:
    metals = one.connector.attributes["materials"]
    assert isinstance(metals, frozenset)
    if one.says("intermixed") and len(metals) < 2:
        yield error("/intermixed", f"is true, but only {', '.join(metals)} is taken", "materials")
    if len(metals) > 1 and "intermixed" in one.connector.unknown:
        yield warning("/takes", "takes several metals, and nothing is said of whether they may touch", "intermixed")
    if "aluminum" in metals and one.connector.method in marks().seldom_aluminum:
        yield warning("/takes", f"takes aluminum, for which hardly any {one.connector.method} is listed", "materials")


@grave_check
def _places(one: Listed) -> Iterator[Slip]:
    places = one.connector.attributes.get("places", frozenset())
    assert isinstance(places, frozenset)
    for place, within in (("damp", "dry"), ("wet", "damp"), ("burial", "wet"), ("submersion", "wet")):
        if place in places and within not in places:
            yield warning("/places", f"has {place}, but not {within}, which it stands too; name all")
    sealed = one.says("sealed")
    bare = one.connector.attributes.get("insulated") is False
    if places & {"burial", "submersion"} and not sealed and not bare:
        says = "has burial or submersion, but it is not said that it is a sealed set"
        yield warning("/places", says, "sealed")
    if sealed and one.says("insulated") is False:
        yield error("/sealed", "is true, but insulated is false; a sealed set covers its joint", "insulated")


@grave_check
def _tool(one: Listed) -> Iterator[Slip]:
    tool, torque = one.connector.attributes.get("tool"), one.connector.figures.get("torque")
    method = one.connector.method
    if torque and tool == "none":
        yield error("/tool", "is none, but a torque is given; what is tightened has a tool")
    if method in marks().screwed and not torque:
        yield warning("/method", f"is {method}, but no torque is given", "torque")
    if (method in marks().by_hand and tool in ("matched", "heat", "mould", "wrench")) or (
        method in marks().crimped and tool in ("none", "screwdriver", "wrench")
    ):
        yield warning("/tool", f"is {tool}, which does not go with {method}")


@grave_check
def _caps(one: Listed) -> Iterator[Slip]:
    if one.says("caps") is None:
        return
    alone = any(len(combination.areas) == 1 for take in one.connector.takes for combination in take.combinations)
    if one.says("caps") is False and alone:
        yield error("/caps", "is false, but a conductor alone is listed")
    if one.says("caps") and not alone and all(take.combinations for take in one.connector.takes):
        yield error("/caps", "is true, but no combination has one conductor alone", "combinations")


# --- figures that can't be -----------------------------------------------------------------------


@grave_check
def _body(one: Listed) -> Iterator[Slip]:
    longest, largest = _longest(one), one.connector.attributes["largest"]
    if longest is None:
        return
    least, most = (limit * _MM for limit in marks().outside_mm)
    if not least <= longest <= most:
        yield warning("/outside", f"is {longest / _MM:g} mm at its longest; see that the unit is right")
    if isinstance(largest, int) and longest**2 < largest:
        yield error("/outside", f"is smaller than a conductor of {max(one.sizes)}; see that the unit is right")


@check
def _strip(one: Listed) -> Iterator[Slip]:
    longest = _longest(one)
    least, most = (limit * _MM for limit in marks().strip_mm)
    for figure in one.connector.figures.get("strip", ()):
        length = exact(figure.value.value, figure.value.unit)
        if not least <= length <= most:
            yield warning("/strip", f"is {figure.value}; see that the unit is right")
        elif longest is not None and length > longest and one.connector.method in marks().by_hand:
            yield warning("/strip", f"is {figure.value}, longer than the connector itself")


def _longest(one: Listed) -> int | None:
    """Give the longest of its outside dimensions in micrometres."""
    longest = one.connector.attributes.get("height")
    return longest if isinstance(longest, int) else None


@check
def _commerce(one: Listed) -> Iterator[Slip]:
    minutes = one.given.get("minutes")
    if minutes is not None and minutes > marks().minutes_most:
        yield warning("/minutes", f"is {minutes:g}; a joint takes minutes, not hours")
    if one.given.get("price") is not None and "pack" not in one.given and one.given["price"] >= 10:
        yield warning("/price", "is that of one connector where no pack is told; see if it is that of a pack", "pack")


@grave_check
def _source(one: Listed) -> Iterator[Slip]:
    source = one.given.get("source")
    read_on = source.get("read_on") if source else None
    if read_on is None or one.today is None:
        return
    day = dt.date.fromisoformat(read_on)
    if day > one.today + dt.timedelta(1):  # somewhere it is tomorrow already
        yield error("/source/read_on", f"is {read_on}, a day to come")
    elif is_old(day, one.today):
        yield warning("/source/read_on", f"is {read_on}, more than {marks().years} years ago; read the carton again")


def is_old(read_on: dt.date, today: dt.date) -> bool:
    """Say whether a listing that was read then is to be read again."""
    return (today.year - read_on.year, today.month, today.day) > (marks().years, read_on.month, read_on.day)


# --- what is not said ----------------------------------------------------------------------------


@check
def _not_said(one: Listed) -> Iterator[Slip]:
    for name in ("places", "volts", "degrees", "grounding", "insulated"):
        if name in one.connector.unknown:
            then = marks().unsaid.get(name, "what asks for it is unproven")
            yield warning("", f"nothing is said of {name}: {then}", name)
    if one.connector.method not in marks().unstripped and not one.connector.figures.get("strip"):
        yield warning("", "nothing is said of the strip length", "strip")
