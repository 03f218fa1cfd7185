"""A question as read: every word has a value, given or by default. Numbers that were not given are None."""

from __future__ import annotations

import functools
from collections.abc import Callable, Mapping
from dataclasses import dataclass, fields
from operator import attrgetter
from typing import Any

import orjson

from splicewright.question import vocabulary as v
from splicewright.question.leaf import LengthSchema, TemperatureSchema, leaf, schema_of
from splicewright.question.only import ANY, Only
from splicewright.strict_fields import Flag, Items, Number, SizeField, Tags, Text, Word, Words
from splicewright.strict_schema import QuantityField, Remembered
from splicewright.tables.conductors import insulation_types
from splicewright.units import Measured, Size, size

MOST_CONDUCTORS = 24
MOST_TAGS = 20


class _Part:
    """A part of a question. It is looked up by its value again and again, so its hash is remembered."""

    __slots__ = ("_hash",)
    _hash: int

    def __hash__(self) -> int:
        try:
            found = self._hash
        except AttributeError:
            found = hash(_VALUES[type(self)](self))
            object.__setattr__(self, "_hash", found)
        return found


# --- what is assumed where that depends on other leaves ---------------------------------------

_BUILT = {
    "cord": "fine-stranded",
    "MI": "solid",
    **dict.fromkeys(("SE", "SER", "USE", "TC", "PV", "equipment-leads"), "stranded"),
}
_SOLID_TO = {"awg": size("10 AWG"), "metric": size("6 mm2")}


def _construction(conductor: Mapping[str, Any]) -> str:
    """Give how a conductor is built up: as its cable is, else as building wire of its size."""
    area = conductor["size"]
    solid = "solid" if area <= _SOLID_TO[area.system] else "stranded"
    return _BUILT.get(conductor.get("cable", ""), solid)


def _role(conductor: Mapping[str, Any]) -> str:
    """Give the role: bare wire is taken for grounding, any other for a hot conductor."""
    return "equipment-grounding" if conductor.get("insulation") == ["bare"] else "ungrounded"


def _purpose(joint: Mapping[str, Any]) -> str:
    """Give the purpose: one end alone is capped."""
    return "cap" if sum([conductor.count for conductor in joint["conductors"]]) == 1 else "splice"


def _enclosure(place: Mapping[str, Any]) -> str:
    """Give the enclosure: none in earth and under water, else a box."""
    return "none" if place.get("exposure") in ("buried", "submerged") else "box"


def usual_volts(circuit: Mapping[str, Any]) -> int | None:
    """Give the volts of a circuit that does not state them; None for low-voltage kinds and sources of dc."""
    unknown = circuit.get("kind") in v.LOW_VOLTAGE_KINDS or circuit.get("source") in v.DC_SOURCES
    return None if unknown else 120


def _current(circuit: Mapping[str, Any]) -> str:
    """Give the current: dc of sources of it."""
    return "dc" if circuit.get("source") in v.DC_SOURCES else "ac"


# --- the leaves ------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True, kw_only=True)
class Conductor(_Part):
    """Like wire ends that enter the joint."""

    size: Size = leaf(
        SizeField(required=True),
        about="Nominal size, always with its unit: `12 AWG`, `4/0 AWG`, `250 kcmil`, `2.5 mm2`.",
    )
    count: int = leaf(
        Number(1, MOST_CONDUCTORS, decimals=0), default=1, about="How many wire ends of this kind enter the joint."
    )
    material: str = leaf(
        Word(v.MATERIAL),
        default="copper",
        about="Metal of the conductor. Assumed where left out: `copper`; must be given where `work.wiring_age` is "
        "`aluminum-branch`.",
        required_if={"/work/wiring_age": ("aluminum-branch",)},
    )
    construction: str = leaf(
        Word(v.CONSTRUCTION),
        default=_construction,
        about="How the conductor is built up. Assumed where left out: `fine-stranded` for cord, `solid` for MI, "
        "`stranded` for SE, SER, USE, TC, PV and equipment-leads; else `solid` to 10 AWG or 6 mm2, `stranded` above.",
    )
    finish: str = leaf(Word(v.FINISH), default="plain", about="Finish of the metal.")
    end: str = leaf(Word(v.END), default="plain", about="How the end is prepared.")
    condition: str = leaf(
        Word(v.CONDITION),
        default="sound",
        about="State of the metal and the insulation where the joint is made.",
    )
    circuit: str = leaf(
        Text(40),
        default="A",
        about="A label of your own. Conductors with different labels belong to different circuits.",
    )
    cable: str = leaf(
        Word(v.CABLE),
        default="none",
        about="The cable that the conductor comes from, or that it is a lead of listed equipment.",
    )
    insulation: tuple[str, ...] | None = leaf(
        Words(insulation_types(), single=True, least=1, most=4),
        about="Type letters printed on the insulation; a list where dual-marked; `bare` (alone) where there is none. "
        "Where left out, nothing is assumed, and `judged` tells what was not judged.",
    )
    role: str = leaf(
        Word(v.ROLE),
        default=_role,
        about="What the conductor does in its circuit. Assumed where left out: `equipment-grounding` where bare, else "
        "`ungrounded`.",
    )
    path: str = leaf(
        Word(v.PATH), default="ends", about="Whether the conductor ends in the joint or passes through it."
    )

    parallel: int | None = leaf(
        Number(1, MOST_CONDUCTORS, decimals=0),
        about="Of how many in parallel, joined at both ends, it is one; load and device are those of them all. Where "
        "left out, it is judged alone.",
    )

    __hash__ = _Part.__hash__  # or it would be generated


@dataclass(frozen=True, slots=True, kw_only=True)
class Joint(_Part):
    """The conductors to be connected together at one point."""

    purpose: str = leaf(
        Word(v.PURPOSE),
        default=_purpose,
        about="What the joint is for. Assumed where left out: `cap` for a single conductor, else `splice`.",
    )
    conductors: tuple[Conductor, ...] = leaf(  # as read: like ones are one entry, the largest first
        Items(Remembered(schema_of(Conductor)), 1, MOST_CONDUCTORS, required=True),
        about="The conductors to be connected together at one point; at most 24 in all, counts included.",
    )
    tags: tuple[str, ...] | None = leaf(
        Tags(MOST_TAGS),
        about="Words of your own, such as `kitchen` or `phase-2`, that house rules may ask for. Nothing is assumed.",
    )

    __hash__ = _Part.__hash__  # or it would be generated


@dataclass(frozen=True, slots=True, kw_only=True)
class Place(_Part):
    """Where the joint is."""

    premises: str = leaf(Word(v.PREMISES), default="general", about="Premises that have an article of their own.")
    exposure: str = leaf(Word(v.EXPOSURE), default="dry", about="How much water reaches the joint.")
    air_space: str = leaf(
        Word(v.AIR_SPACE), default="none", about="Whether the joint stands in a space through which air is moved."
    )
    site: str = leaf(Word(v.SITE), default="indoors", about="Indoors or outdoors.")
    enclosure: str = leaf(
        Word(v.ENCLOSURE),
        default=_enclosure,
        about="What the joint stands in. Assumed where left out: `none` where buried or submerged, else `box`.",
    )
    box_material: str = leaf(Word(v.BOX_MATERIAL), default="nonmetallic", about="What the enclosure is made of.")
    room: bool | None = leaf(
        Flag(),
        about="Whether the enclosure has room for all that is in it, as the code counts it (of a box "
        "`splicewright box` does). Where left out, nothing is assumed.",
    )
    current_carrying: int | None = leaf(
        Number(1, 200, decimals=0),
        about="How many current-carrying conductors lie together for more than 24 in, in the fullest raceway, cable or "
        "bundle on the way; a neutral of the unbalance alone counts none. Where left out, nothing is assumed.",
    )
    reach: str = leaf(Word(v.REACH), default="accessible", about="Whether the joint can be reached afterwards.")
    movement: str = leaf(Word(v.MOVEMENT), default="still", about="How the place moves.")
    corrosion: tuple[str, ...] = leaf(Words(v.CORROSION), default=[], about="What attacks metal or insulation there.")
    ambient: Measured = leaf(
        QuantityField(TemperatureSchema),
        default={"value": 30, "unit": "degC"},
        about="Temperature of the air around the joint. Assumed where left out: 30 degC.",
    )
    hazardous: bool = leaf(Flag(), default=False, about="Whether the place is a hazardous (classified) location.")
    depth: Measured | None = leaf(
        QuantityField(LengthSchema),
        about="Cover over the wiring: from its top to the finished surface. Where left out, nothing is assumed.",
        asked_if={"exposure": ("buried",)},
    )
    cover: str = leaf(
        Word(v.COVER),
        default="general",
        about="What lies over wiring in the ground: a row of the cover table.",
        asked_if={"exposure": ("buried",)},
    )
    wiring: str = leaf(
        Word(v.WIRING),
        default="direct",
        about="How wiring runs in the ground: a column of the cover table.",
        asked_if={"exposure": ("buried",)},
    )
    dwelling: bool = leaf(Flag(), default=False, about="Whether the circuit serves a dwelling.")

    __hash__ = _Part.__hash__  # or it would be generated


@dataclass(frozen=True, slots=True, kw_only=True)
class Circuit(_Part):
    """What the joint is part of."""

    kind: str = leaf(Word(v.KIND), default="branch", about="Kind of circuit.")
    serves: str = leaf(Word(v.SERVES), default="general", about="What the circuit feeds.")
    source: str = leaf(Word(v.SOURCE), default="utility", about="What the circuit is fed from.")
    volts: float | None = leaf(
        Number(0.1, 100_000, unit="V", safe="up"),
        default=usual_volts,
        about="Nominal volts. Assumed where left out: 120; nothing for low-voltage kinds, solar panels and batteries.",
    )
    current: str = leaf(
        Word(v.CURRENT),
        default=_current,
        about="Alternating or direct current. Assumed where left out: `dc` from solar panels and batteries, else `ac`.",
    )
    amps: float | None = leaf(
        Number(0.1, 10_000, unit="A", safe="up"), about="Load in amperes. Where left out, nothing is assumed."
    )
    overcurrent_amps: float | None = leaf(
        Number(0.1, 10_000, unit="A"),
        about="Rating of the fuse or breaker in amperes. Where left out, nothing is assumed.",
    )
    overcurrent_device: str | None = leaf(
        Word(v.OVERCURRENT_DEVICE),
        about="Kind of the fuse or breaker, which motors ask. Where left out, nothing is assumed.",
    )
    nameplate_amps: float | None = leaf(
        Number(0.1, 10_000, unit="A"),
        about="Largest fuse or breaker that the nameplate or instructions of listed equipment allow ahead of it, in "
        "amperes. Where left out, nothing is assumed.",
    )
    continuous: bool | None = leaf(
        Flag(),
        about="Whether the load lasts three hours or more; say no where the device and its assembly are listed for "
        "100 percent of their rating. Where left out, nothing is assumed.",
    )
    multiwire: bool = leaf(
        Flag(), default=False, about="Whether it is a multiwire branch circuit, sharing one neutral."
    )
    gfci: bool = leaf(
        Flag(),
        default=False,
        about="Whether the circuit has ground-fault protection for persons.",
        label="GFCI protection",
    )

    __hash__ = _Part.__hash__  # or it would be generated


@dataclass(frozen=True, slots=True, kw_only=True)
class Work(_Part):
    """What kind of work it is."""

    reopened: str = leaf(Word(v.REOPENED), default="rarely", about="How often the joint will be opened again.")
    temporary: bool = leaf(Flag(), default=False, about="Whether it is temporary wiring.")
    wiring_age: str | None = leaf(
        Word(v.WIRING_AGE), about="Age of the wiring that is worked on. Where left out, nothing is assumed."
    )

    __hash__ = _Part.__hash__  # or it would be generated


@dataclass(frozen=True, slots=True)
class Question:
    """All that decides an answer. Two questions that differ only in the order of conductors are equal."""

    code: str
    amendments: tuple[str, ...]
    catalogue: str
    joint: Joint
    place: Place
    circuit: Circuit
    work: Work
    only: Only = ANY

    def canonical(self) -> bytes:
        """Write the question in its one canonical form: what an answer's address is made of."""
        names = ("circuit", "joint", "place", "work")
        parts = {name: orjson.Fragment(_canonical_part(getattr(self, name))) for name in names}
        plain = {"amendments": self.amendments, "catalogue": self.catalogue, "code": self.code, **parts}
        if self.only != ANY:
            plain["only"] = as_plain(self.only)
        return orjson.dumps(plain, option=orjson.OPT_SORT_KEYS)


@functools.lru_cache(maxsize=4096)
def _canonical_part(part: Joint | Place | Circuit | Work) -> bytes:
    return orjson.dumps(as_plain(part), option=orjson.OPT_SORT_KEYS)


_VALUES: Mapping[type, Callable[[Any], object]] = {
    kind: attrgetter(*(attribute.name for attribute in fields(kind)))
    for kind in (Conductor, Joint, Place, Circuit, Work)
}


def as_plain(value: Any) -> Any:
    """Turn a model into maps, lists and words, as JSON has them. What was not stated is left out."""
    kind = type(value)
    if kind in _AS_THEY_ARE:
        return value
    if kind is Size:
        return value.text
    if kind is tuple:
        return [as_plain(item) for item in value]
    pairs = [(name, getattr(value, name)) for name in _NAMES[kind]]
    return {
        name: as_plain(inner)
        for name, inner in pairs
        if inner is not None and (type(inner) is not Only or inner != ANY)
    }


_AS_THEY_ARE = frozenset({str, int, float, bool, type(None)})
_NAMES = {
    kind: tuple(attribute.name for attribute in fields(kind) if attribute.compare)
    for kind in (Measured, Conductor, Joint, Place, Circuit, Work, Only, Question)
}
