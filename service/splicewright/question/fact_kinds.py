"""What a rule may test: every fact's name and kind.

Facts about the joint, its place, circuit and work are single; each distinct conductor has facts of its own.
Values are words, tuples of words, true or false, and whole numbers in base units (see units.py): nothing else
reaches an engine.
"""

from __future__ import annotations

import functools
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from splicewright.question import grounding, loads, protection  # noqa: F401 - they enter their measures
from splicewright.question import vocabulary as v
from splicewright.question.measures import CONDUCTOR, JOINT
from splicewright.tables.insulation import insulation_types

Value = str | int | bool | tuple[str, ...]


@dataclass(frozen=True, slots=True)
class FactKind:
    """What sort of value a fact has: `word`, `words`, `flag`, `count`, `size`, or a quantity's kind."""

    name: str
    kind: str
    words: tuple[str, ...] = ()
    reads: tuple[str, ...] = ()  # of a measure: the given facts it is made from
    about: str = ""

    @property
    def decided_by(self) -> frozenset[str]:
        """The leaves of a question that decide the value and how it is printed; `joint` for all of its conductors.

        What a measure reads of conductors it reads of the whole joint, unless it is a conductor's own. A length is
        printed in the unit of the depth, a size as some conductor of the joint has it.
        """
        found = set(self.reads or [self.name])
        if not self.name.startswith("conductor."):
            found = {"joint" if name.startswith(("conductor.", "joint.")) else name for name in found}
        if self.kind == "length":
            found.add("place.depth")
        if self.kind == "size" and self.reads:
            found.add("joint")
        return frozenset(found)

    @property
    def parts(self) -> frozenset[str]:
        """The parts of a question that these leaves are in."""
        return frozenset(name.partition(".")[0] for name in self.decided_by)


#: The leaves of a question that are facts: words, a list where several may stand, or the kind of value.
SINGLE_LEAVES: dict[str, Any] = {
    "joint.purpose": v.PURPOSE,
    "place.premises": v.PREMISES,
    "place.exposure": v.EXPOSURE,
    "place.site": v.SITE,
    "place.enclosure": v.ENCLOSURE,
    "place.box_material": v.BOX_MATERIAL,
    "place.reach": v.REACH,
    "place.movement": v.MOVEMENT,
    "place.corrosion": list(v.CORROSION),
    "place.ambient": "temperature",
    "place.hazardous": "flag",
    "place.depth": "length",
    "place.cover": v.COVER,
    "place.wiring": v.WIRING,
    "place.dwelling": "flag",
    "circuit.kind": v.KIND,
    "circuit.serves": v.SERVES,
    "circuit.volts": "volts",
    "circuit.current": v.CURRENT,
    "circuit.amps": "amps",
    "circuit.overcurrent_amps": "amps",
    "circuit.continuous": "flag",
    "circuit.multiwire": "flag",
    "circuit.gfci": "flag",
    "work.reopened": v.REOPENED,
    "work.temporary": "flag",
    "work.wiring_age": v.WIRING_AGE,
}


def conductor_leaves() -> dict[str, Any]:
    """Give the leaves of a conductor that are facts, as `SINGLE_LEAVES` has those of a question."""
    return {
        "conductor.size": "size",
        "conductor.count": "count",
        "conductor.material": v.MATERIAL,
        "conductor.construction": v.CONSTRUCTION,
        "conductor.finish": v.FINISH,
        "conductor.end": v.END,
        "conductor.condition": v.CONDITION,
        "conductor.cable": v.CABLE,
        "conductor.insulation": list(insulation_types()),
        "conductor.role": v.ROLE,
        "conductor.path": v.PATH,
    }


@functools.cache
def fact_kinds() -> Mapping[str, FactKind]:
    """Give every fact by its name, such as `place.exposure` or the measure `joint.count`."""
    found = {}
    for name, spec in {**SINGLE_LEAVES, **conductor_leaves()}.items():
        if isinstance(spec, str):
            found[name] = FactKind(name, spec)
        else:
            found[name] = FactKind(name, "words" if isinstance(spec, list) else "word", tuple(spec))
    for one in (*JOINT, *CONDUCTOR):
        found[one.name] = FactKind(one.name, one.kind, one.words, one.reads, one.about)
    return found
