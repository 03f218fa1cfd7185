"""What must hold for every option: its listing has what the joint asks, reckoned anew, and its make-up is in order."""

from __future__ import annotations

import functools
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from splicewright.catalogue import Connector
from splicewright.catalogue.model import kind_bit
from splicewright.question.vocabulary import PHASES
from splicewright.units import Size, size, whole
from tests.choice.case import GROUNDING, WORKING, Case, Plain
from tests.external.published import published

_AMPERES = published("ampacity")["amperes"]["rows"]


def options(case: Case) -> Iterator[str]:
    """Check every option against the question and its listing, and its make-up."""
    for option in case.answer["options"]:
        connector = case.connectors[option["connector"]]
        for says in (*_lacks(case, connector), *_does_not_take(case, connector, option["fill"]["basis"])):
            yield f"{connector.id}: {says}"
        phases = [list(PHASES).index(step["phase"]) for step in option["make_up"]]
        if not phases or option["make_up"][0]["phase"] != "make-safe" or phases != sorted(phases):
            yield f"{connector.id}: make-up goes {[step['phase'] for step in option['make_up']]}"


def _lacks(case: Case, connector: Connector) -> Iterator[str]:
    listed = connector.attributes
    volts, enclosure = case.leaf("circuit", "volts"), case.leaf("place", "enclosure")
    marked = "luminaire_volts" if enclosure == "luminaire" and volts is not None and volts > 600 else "volts"
    if volts is not None and listed.get(marked, 0) < whole(volts, "V"):
        yield f"{marked} of {listed.get(marked)} tenths for {volts} V"
    if listed.get("degrees", 0) < _hottest(case):
        yield f"degrees of {listed.get('degrees')} ninetieths for {_hottest(case)}"
    places = listed["places"]
    yield from (f"not listed for a place that is {place}" for place in _asked_places(case) if not place & places)
    metals = {conductor["material"] for conductor in case.conductors}
    if metals - listed["materials"]:
        yield f"not listed for {sorted(metals - listed['materials'])}"
    if "aluminum" in metals and len(metals) > 1 and not listed["intermixed"]:
        yield "unlike metals touch"
    if listed["grounding"] in (("no",) if case.roles & set(GROUNDING) else ("only",)):
        yield f"grounding: {listed['grounding']} for {sorted(case.roles)}"
    buried = case.leaf("place", "exposure") == "buried" and enclosure == "none"
    if (buried or case.leaf("place", "exposure") == "submerged") and case.roles & set(WORKING) and not listed["sealed"]:
        yield "not sealed"
    if case.roles & set(GROUNDING) and connector.method == "solder":
        yield "grounding relies on solder"
    uncut = any(
        conductor["role"] == "grounding-electrode" and conductor["path"] == "through" for conductor in case.conductors
    )
    if "grounding-electrode" in case.roles and not uncut and not listed["irreversible"]:
        yield "a grounding electrode conductor is joined by what may be opened"
    small = any(
        conductor["material"] == "aluminum" and size(conductor["size"]) <= size("10 AWG")
        for conductor in case.conductors
    )
    old = case.leaf("work", "wiring_age") == "aluminum-branch" and small
    if old and not listed["permanent_aluminum_repair"]:
        yield "no permanent repair of old aluminum wiring"
    if any(conductor["path"] == "through" for conductor in case.conductors) and not listed["uncut"]:
        yield "takes no conductor that is not cut"
    if sum(conductor["count"] for conductor in case.conductors) == 1 and not (listed["caps"] and listed["insulated"]):
        yield "closes off no free end"


def _asked_places(case: Case) -> Iterator[frozenset[str]]:
    exposure = case.leaf("place", "exposure")
    wet = frozenset({"wet", "burial", "submersion"})
    if case.wet:
        yield wet
    if exposure == "damp" or (exposure == "dry" and case.leaf("place", "site") == "outdoors"):
        yield wet | {"damp"}
    if exposure == "buried" and case.leaf("place", "enclosure") == "none":
        yield frozenset({"burial"})
    if exposure == "submerged":
        yield frozenset({"submersion"})


def _hottest(case: Case) -> int:
    """Give the ninetieths of a degree that the joint reaches: the place's, or of the column that carries the load."""
    ambient, amps = case.leaf("place", "ambient"), case.leaf("circuit", "amps")
    found = [whole(ambient["value"], ambient["unit"])]
    for conductor in case.conductors:
        if amps is not None and conductor["role"] in WORKING:
            row = _AMPERES.get(conductor["size"], {}).get(
                "copper" if conductor["material"] == "copper" else "aluminum", {}
            )
            share = amps / conductor.get("parallel", 1)
            enough = [int(column) for column, figure in row.items() if figure >= share]
            if enough and "60" in row:
                found.append(whole(min(enough), "degC"))
    return max(found)


def _does_not_take(case: Case, connector: Connector, basis: str) -> Iterator[str]:
    doubtful = [
        conductor
        for conductor in case.conductors
        if conductor["material"] != "copper"
        or conductor["construction"] == "fine-stranded"
        or conductor["role"] in GROUNDING
    ]
    if doubtful and basis != "listed":
        yield "a doubtful joint that its listing does not name"
    wanted = [(_kind(conductor), size(conductor["size"])) for conductor in case.conductors]
    count = sum(conductor["count"] for conductor in case.conductors)
    if not any(group.takes(wanted, count) for group in _groups(connector)):
        kinds = [(conductor["size"], conductor["construction"], conductor["end"]) for conductor in case.conductors]
        yield f"takes no {count} conductors of {kinds}"


def _kind(conductor: Plain) -> int:
    return kind_bit(conductor["material"], conductor["construction"], conductor["end"])


@dataclass(frozen=True)
class Group:
    """Conductors that a connector takes together: the fewest, the most, and the sizes of each set of kinds."""

    fewest: int
    most: int
    sizes: tuple[tuple[int, Size, Size], ...]

    def takes(self, wanted: list[tuple[int, Size]], count: int) -> bool:
        """Say whether their number and each of them alone lies within what is listed."""
        if not self.fewest <= count <= self.most:
            return False
        return all(
            any(kinds & kind and least <= of <= most for kinds, least, most in self.sizes) for kind, of in wanted
        )


@functools.cache
def _groups(connector: Connector) -> tuple[Group, ...]:
    """Give each group of ports of a connector, and all of its combinations as one."""
    found, together = [], [combination for take in connector.takes for combination in take.combinations]
    for take in connector.takes:
        if take.ports:
            ranges = [(one.kinds, one.least, one.most) for port in take.ports for one in port.ranges]
            found.append(Group(take.least, sum(port.count * port.conductors for port in take.ports), tuple(ranges)))
    if together:
        by_kinds: dict[int, list[Size]] = {}
        for entry in (entry for one in together for entry in one.entries):
            by_kinds.setdefault(entry.kinds, []).append(entry.size)
        counts = [len(one.areas) for one in together]
        ranges = _spread(by_kinds)
        found.append(Group(min(counts), max(counts), tuple(ranges)))
    return tuple(found)


def _spread(by_kinds: Mapping[int, list[Size]]) -> list[tuple[int, Size, Size]]:
    """Give the least and the largest size of each single kind over all entries that may be of it."""
    every = functools.reduce(int.__or__, by_kinds, 0)
    found = []
    for bit in (1 << at for at in range(every.bit_length()) if every >> at & 1):
        sizes = [of for kinds, some in by_kinds.items() if kinds & bit for of in some]
        found.append((bit, min(sizes), max(sizes)))
    return found
