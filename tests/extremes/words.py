"""Every leaf of a question with the words or values that an extreme is crossed with.

Leaves come from the question's own declarations, so that one added there is crossed here too. `UNSAID` leaves the leaf
out. A word that only makes sense with others brings them along (`WITH`): Class 2 comes with its volts.
"""

from __future__ import annotations

import functools
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from splicewright.question.vocabulary import CODES, LOW_VOLTAGE_KINDS
from tests.question.leaves import every, may_be_unsaid

UNSAID = "(unsaid)"
_CELSIUS = (-40, 10, 30, 40, 55, 60, 75, 120)
_NUMBERS: Mapping[str, tuple[Any, ...]] = {
    "conductor.size": (
        "30 AWG", "22 AWG", "18 AWG", "16 AWG", "14 AWG", "13 AWG", "12 AWG", "10 AWG", "9 AWG", "8 AWG", "6 AWG",
        "4 AWG", "2 AWG", "1/0 AWG", "4/0 AWG", "250 kcmil", "500 kcmil", "750 kcmil", "1000 kcmil", "2000 kcmil",
        "0.75 mm2", "1.5 mm2", "2.5 mm2", "4 mm2", "10 mm2", "35 mm2", "95 mm2", "240 mm2", "800 mm2",
    ),
    "conductor.count": (1, 2, 3, 5, 9),
    "conductor.circuit": ("A", "B"),
    "conductor.parallel": (1, 2, 3, 24),
    "place.current_carrying": (1, 3, 4, 9, 20, 60),
    "circuit.nameplate_amps": (5, 15, 20, 60, 400),
    "circuit.volts": (0.7, 12, 24, 30, 48, 60, 90, 120, 208, 277, 480, 600, 1000),
    "circuit.amps": (0.5, 5, 12, 16, 20, 40, 100, 400),
    "circuit.overcurrent_amps": (5, 15, 20, 30, 50, 100, 400, 1200, 6000.1),
    "place.ambient": (*({"value": each, "unit": "degC"} for each in _CELSIUS), {"value": 104, "unit": "degF"}),
    "place.depth": (
        *({"value": each, "unit": "in"} for each in (0, 6, 12, 18, 24, 36)), {"value": 300, "unit": "mm"},
    ),
}  # fmt: skip
_WITH: Mapping[tuple[str, Any], Mapping[str, Any]] = {
    **{("circuit.kind", kind): {"circuit.volts": 24} for kind in LOW_VOLTAGE_KINDS},
    ("circuit.kind", "low-voltage-landscape"): {"circuit.volts": 12},
    ("circuit.kind", "control"): {"circuit.volts": 120},
    ("place.exposure", "submerged"): {"circuit.serves": "pump"},
    ("work.wiring_age", "aluminum-branch"): {"conductor.material": "aluminum"},
}


@dataclass(frozen=True)
class Word:
    """One value of one leaf, such as `place.exposure` `wet`, with those that it brings along."""

    leaf: str
    value: Any

    @functools.cached_property
    def brings(self) -> Mapping[str, Any]:
        """The leaves that it sets: its own, and those that come with it."""
        along = {} if isinstance(self.value, dict | list) else _WITH.get((self.leaf, self.value), {})
        return {**along, self.leaf: self.value}

    def __hash__(self) -> int:
        return hash((self.leaf, str(self.value)))

    def __str__(self) -> str:
        return f"{self.leaf}: {self.value}"


def _values(name: str, field: Any) -> tuple[Any, ...]:
    match field.kind:
        case _ if name in _NUMBERS:
            found = _NUMBERS[name]
        case "word":
            found = tuple(field.words)
        case "words" if field.single:
            found = (*field.words, ["THHN", "THWN-2"], ["RHW-2", "USE-2"])
        case "words":
            found = (*([each] for each in field.words), list(field.words))
        case "flag":
            found = (True, False)
        case "tags":
            found = (["attic"], ["attic", "phase-2"])
        case "number":
            found = (field.least, field.most)
        case "quantity":
            bounds = field.schema.fields["value"].bounds
            unit = next(iter(field.units))
            found = tuple({"value": bounds[end], "unit": unit} for end in ("least", "most"))
    return (*found, UNSAID) if may_be_unsaid(name) or field.kind == "words" else found


@functools.cache
def leaves() -> Mapping[str, tuple[Word, ...]]:
    """Give every leaf with its words, the code edition among them."""
    found = {name: _values(name, leaf.field) for name, leaf in every().items()}
    return {
        name: tuple(Word(name, value) for value in values) for name, values in {**found, "code": tuple(CODES)}.items()
    }
