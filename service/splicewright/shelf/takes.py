"""What one connector takes, in sentences and in metal: each of its fillings from the least to the most."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Any

from splicewright.catalogue.model import Combination, Connector, kinds_text
from splicewright.catalogue.schema import DERIVED
from splicewright.catalogue.takes import Metal, Port, Take, in_um2
from splicewright.choice.telling import listed_value
from splicewright.rulebook.attributes import ATTRIBUTES
from splicewright.units import counted, plain

Plain = dict[str, Any]
_MM2 = 1_000_000  # µm²
#: How what a listing says is told, by its attribute and, of some words, by the word too.
_SAID = {
    "places": "It is listed for places that are: {}.",
    "resists": "It is listed for influences of: {}.",
    "volts": "It bears up to {}.",
    "luminaire_volts": "Inside a luminaire or sign it bears up to {}.",
    "degrees": "It bears up to {}.",
    "amps": "It carries up to {}.",
    "tool": "It is closed with what is called: {}.",
}
_OF_A_WORD = {
    ("tool", "none"): "It is closed by hand.",
    ("grounding", "also"): "It may join grounding conductors too.",
    ("grounding", "only"): "It is for grounding conductors only.",
    ("grounding", "no"): "It is not for grounding conductors.",
}
#: Said in sentences of their own, or by the fillings.
_ELSEWHERE = ("method", *DERIVED)


@dataclass(frozen=True, slots=True)
class Filling:
    """One filling: what goes in, and its metal in µm² from the least to the most."""

    text: str
    kinds: str
    least: int
    most: int

    def to_dict(self) -> Plain:
        """Give it as JSON has it, in mm²."""
        return {
            "takes": self.text,
            "kinds": self.kinds,
            "metal": {"from": self.least / _MM2, "to": self.most / _MM2, "unit": "mm2"},
        }


@dataclass(frozen=True, slots=True)
class Taken:
    """What a connector takes."""

    connector: Connector
    sentences: tuple[str, ...]
    fillings: tuple[Filling, ...]

    @property
    def most(self) -> int:
        """The most metal of any filling, in µm²."""
        return max(filling.most for filling in self.fillings)

    def to_dict(self) -> Plain:
        """Give it as JSON has it."""
        return {
            "connector": self.connector.id,
            "sentences": list(self.sentences),
            "fillings": [filling.to_dict() for filling in self.fillings],
        }


def taken_by(connector: Connector) -> Taken:
    """Tell what a connector takes."""
    fillings = tuple(one for take in connector.takes for one in _fillings(take))
    return Taken(connector, tuple(_sentences(connector, fillings)), fillings)


# --- fillings ------------------------------------------------------------------------------------


def _fillings(take: Take) -> Iterator[Filling]:
    for port in take.ports:
        yield from _of_port(port)
    for total in take.metal:
        yield _of_metal(total)
    alike: dict[tuple[Any, ...], list[Combination]] = {}
    for one in take.combinations:
        # Combinations that differ in how many of their last size there are stand in one line.
        key = tuple((entry.size.text, entry.kinds, entry.words) for entry in one.entries)
        counts = tuple(entry.count for entry in one.entries[:-1])
        alike.setdefault((*key, counts), []).append(one)
    for some in alike.values():
        yield from _runs(sorted(some, key=lambda one: one.entries[-1].count))


def _runs(some: list[Combination]) -> Iterator[Filling]:
    """Part combinations that differ in their last count where a count between them is not listed."""
    begin = 0
    for at in range(1, len(some) + 1):
        if at < len(some) and some[at].entries[-1].count == some[at - 1].entries[-1].count + 1:
            continue
        yield _of_run(some[begin], some[at - 1])
        begin = at


def _of_run(least: Combination, most: Combination) -> Filling:
    *first, last = least.entries
    counts = str(last.count) if least is most else f"{last.count} to {most.entries[-1].count}"
    parts = [f"{entry.count} x {_with_words(str(entry.size), entry.words)}" for entry in first]
    parts.append(f"{counts} x {_with_words(str(last.size), last.words)}")
    return Filling(" + ".join(parts), kinds_text(least.kinds), sum(least.areas), sum(most.areas))


def _with_words(size: str, words: str) -> str:
    return f"{size} {words}" if words else size


def _of_port(port: Port) -> Iterator[Filling]:
    ports = counted(port.count, "port")
    each = "" if port.conductors == 1 else f", up to {port.conductors} conductors in each"
    for one in port.ranges:
        sizes = str(one.most) if one.least == one.most else f"{one.least} to {one.most}"
        yield Filling(f"{ports}: {sizes}{each}", kinds_text(one.kinds), one.least.area, one.most.area * port.conductors)


def _of_metal(total: Metal) -> Filling:
    return Filling(str(total), kinds_text(total.kinds), in_um2(total.least), in_um2(total.most))


# --- sentences -----------------------------------------------------------------------------------


def _sentences(connector: Connector, fillings: Iterable[Filling]) -> Iterator[str]:
    fillings = list(fillings)
    least, most = min(one.least for one in fillings), max(one.most for one in fillings)
    yield f"{connector.name}: joins by {connector.method}."
    in_one = " in one port" if any(take.ports for take in connector.takes) else ""
    metal = f"from {_mm2(least)} to {_mm2(most)} mm2 of metal{in_one}"
    yield f"It takes {kinds_text(connector.kinds)}, {metal}, in {counted(len(fillings), 'filling')}."
    fewest = {take.least for take in connector.takes if take.ports and take.least > 1}
    if fewest:
        yield f"It is listed for no fewer than {counted(min(fewest), 'conductor')}."
    listed = {name: value for name, value in connector.attributes.items() if name not in _ELSEWHERE}
    for name in ATTRIBUTES:
        if name in listed and not isinstance(listed[name], bool):
            value = listed_value(listed, name)
            yield _OF_A_WORD.get((name, value)) or _SAID.get(name, f"{_title(name)}: {{}}.").format(value)
    says_yes = [_title(name).lower() for name, value in listed.items() if value is True]
    if says_yes:
        yield f"It is said to be or to have: {', '.join(says_yes)}."
    yield from _make_up(connector)
    known = {*connector.attributes, *connector.varying}
    silent = [_title(name).lower() for name in ATTRIBUTES if name in connector.unknown and name not in known]
    if silent:
        yield f"Not stated, so what asks for it is unproven: {', '.join(silent)}."


def _make_up(connector: Connector) -> Iterator[str]:
    for name, do in (("strip", "Strip"), ("torque", "Tighten to")):
        for one in connector.figures.get(name, ()):
            yield f"{do} {one.value}{one.holds}."
    for name in connector.varying:
        each = (f"{one.value}{one.holds}" for one in connector.figures[name])
        yield f"{_title(name)}: {'; '.join(each)}."


def _title(name: str) -> str:
    return name.replace("_", " ").capitalize()


def _mm2(area: int) -> str:
    return plain(round(area / _MM2, 2))
