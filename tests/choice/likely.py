"""Random questions of the kind that people ask, mostly such that a joint may be made; now and then anything at all."""

from __future__ import annotations

import random
from typing import Any

from tests.oracle.questions import random_given

ANYTHING = 0.1  # of the questions are as the generator of tests/oracle gives them
_SIZES = ("14 AWG",) * 4 + ("12 AWG",) * 6 + ("10 AWG",) * 3 + ("18 AWG", "16 AWG", "8 AWG", "6 AWG", "4 AWG")
_LARGE = ("2 AWG", "1/0 AWG", "2/0 AWG", "4/0 AWG", "250 kcmil")
_METRIC = ("1.5 mm2", "2.5 mm2", "4 mm2", "6 mm2")
_ROLES = ("ungrounded",) * 6 + ("grounded",) * 3 + ("equipment-grounding",) * 3 + ("control", "grounding-electrode")
_METALS = ("copper",) * 8 + ("aluminum", "copper-clad-aluminum")
_INSULATION: tuple[Any, ...] = ("THHN", "THWN-2", "THWN-2", "XHHW-2", "USE-2", "UF", ["THHN", "THWN"], "THW", "TW")
_SELDOM = 0.06
#: how often a leaf that was drawn at random is kept; those not named always are
_KEPT = {
    "conductor": {
        "material": 0.0, "construction": 0.25, "finish": 0.3, "end": 0.1, "condition": 0.02, "circuit": 0.02,
        "cable": 0.1, "insulation": 0.03, "role": 0.02, "path": 0.1, "parallel": 0.05,
    },
    "place": {
        "premises": 0.1, "air_space": 0.05,
        "exposure": 0.3, "site": 0.6, "enclosure": 0.3, "reach": 0.1, "movement": 0.3, "ambient": 0.15,
        "corrosion": 0.12, "hazardous": 0.02, "depth": 0.3, "cover": 0.5, "room": 0.1, "current_carrying": 0.1,
    },
    "circuit": {
        "kind": 0.5, "serves": 0.3, "source": 0.05, "volts": 0.6, "amps": 0.6, "overcurrent_amps": 0.6,
        "overcurrent_device": 0.1, "nameplate_amps": 0.1,
    },
    "work": {"wiring_age": 0.3},
}  # fmt: skip
_HANDED_OVER = {"kind": ("service", "fire-alarm", "emergency", "patient-care"), "wiring_age": ("knob-and-tube",)}


def likely_given(rng: random.Random) -> dict[str, Any]:
    """Give a valid question as a caller writes it."""
    given = random_given(rng)
    if rng.random() < ANYTHING:
        return given
    for part in ("place", "circuit", "work"):
        given[part] = {key: value for key, value in given[part].items() if _stays(rng, part, key, value)}
    given["joint"]["conductors"] = _conductors(rng, given["joint"]["conductors"])
    _sensible_load(rng, given["circuit"])
    counted = sum(conductor.get("count", 1) for conductor in given["joint"]["conductors"])
    if (counted > 1) is (given["joint"].get("purpose") == "cap") and rng.random() > _SELDOM:
        given["joint"].pop("purpose", None)
    return given


def _stays(rng: random.Random, part: str, key: str, value: Any) -> bool:
    kept = _SELDOM if value in _HANDED_OVER.get(key, ()) else _KEPT[part].get(key, 1.0)
    return rng.random() < kept


def _conductors(rng: random.Random, drawn: list[dict[str, Any]]) -> list[dict[str, Any]]:
    role, metal, size = rng.choice(_ROLES), rng.choice(_METALS), rng.choice(_sizes(rng))
    insulation = rng.choice(_INSULATION)
    return [_conductor(rng, one, role, metal, size, insulation) for one in drawn[: rng.randint(1, 4)]]


def _sizes(rng: random.Random) -> tuple[str, ...]:
    return rng.choices((_SIZES, _LARGE, _METRIC), (0.93, 0.05, 0.02))[0]


def _conductor(
    rng: random.Random, drawn: dict[str, Any], role: str, metal: str, size: str, insulation: Any
) -> dict[str, Any]:
    found = {key: value for key, value in drawn.items() if _stays(rng, "conductor", key, value)}
    found["size"] = size if rng.random() < 0.8 else rng.choice(_sizes(rng))
    found["material"] = metal if rng.random() < 0.96 else rng.choice(_METALS)
    found.setdefault("role", role)
    if rng.random() < 0.85:
        bare = role in ("equipment-grounding", "grounding-electrode") and rng.random() < 0.6
        found.setdefault("insulation", "bare" if bare else insulation)
    if found.get("count", 1) > 2 and rng.random() < 0.8:
        found["count"] = rng.randint(1, 2)
    return found


def _sensible_load(rng: random.Random, circuit: dict[str, Any]) -> None:
    if circuit.get("volts", 0) > 600 and rng.random() > _SELDOM:
        circuit["volts"] = rng.choice((120, 208, 240, 277, 480))
    if circuit.get("amps", 0) > 30 and rng.random() > _SELDOM:
        circuit["amps"] = rng.choice((4, 12, 16, 20))
    if circuit.get("overcurrent_amps", 0) > 40 and rng.random() > _SELDOM:
        circuit["overcurrent_amps"] = rng.choice((15, 20))
