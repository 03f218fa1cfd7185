"""Random valid questions: as given to `read_question`, and built at once where speed matters."""

from __future__ import annotations

import random
from collections.abc import Mapping
from typing import Any

from hypothesis import strategies as st

from splicewright.question import vocabulary as v
from splicewright.question.model import Circuit, Conductor, Joint, Measured, Place, Question, Work, merged
from splicewright.tables.insulation import insulation_types
from splicewright.units import size

SIZES = (
    *(f"{number} AWG" for number in range(1, 25)),
    *(f"{number}/0 AWG" for number in range(1, 5)),
    *(f"{number} kcmil" for number in (250, 300, 350, 500, 750, 1000, 2000)),
    *(f"{area} mm2" for area in ("0.5", "0.75", "1", "1.5", "2.5", "4", "6", "10", "16", "25", "50", "95", "240")),
)
VOLTS = (0.1, 5, 12, 24, 24.5, 48, 50, 120, 120.5, 208, 240, 277, 300, 347, 480, 600, 600.1, 1000, 1000.1, 15_000)
AMPS = (0.1, 1, 12, 15, 16, 20, 24, 30, 30.5, 40, 60, 100, 400, 10_000)
_INCHES, _MILLIMETRES = (0, 6, 12, 17.9, 18, 24), (0, 150, 300, 449.9, 450, 600)
_CELSIUS, _FAHRENHEIT = (-60, -10, 0, 30, 30.5, 60, 75, 90, 200), (-40, 32, 86, 86.9, 194)
DEPTHS: tuple[dict[str, Any], ...] = (
    *({"value": each, "unit": "in"} for each in _INCHES),
    *({"value": each, "unit": "mm"} for each in _MILLIMETRES),
)
AMBIENTS: tuple[dict[str, Any], ...] = (
    *({"value": each, "unit": "degC"} for each in _CELSIUS),
    *({"value": each, "unit": "degF"} for each in _FAHRENHEIT),
)
_CONDUCTOR: dict[str, tuple[Any, ...]] = {
    "material": tuple(v.MATERIAL),
    "construction": tuple(v.CONSTRUCTION),
    "finish": tuple(v.FINISH),
    "end": tuple(v.END),
    "condition": tuple(v.CONDITION),
    "circuit": ("A", "B", "C"),
    "cable": tuple(v.CABLE),
    "role": tuple(v.ROLE),
    "path": tuple(v.PATH),
}
_PLACE: dict[str, tuple[Any, ...]] = {
    "premises": tuple(v.PREMISES),
    "exposure": tuple(v.EXPOSURE),
    "site": tuple(v.SITE),
    "enclosure": tuple(v.ENCLOSURE),
    "box_material": tuple(v.BOX_MATERIAL),
    "reach": tuple(v.REACH),
    "movement": tuple(v.MOVEMENT),
    "ambient": AMBIENTS,
    "hazardous": (False, True),
    "depth": DEPTHS,
    "cover": tuple(v.COVER),
    "wiring": tuple(v.WIRING),
    "dwelling": (False, True),
}
_CIRCUIT: dict[str, tuple[Any, ...]] = {
    "kind": tuple(v.KIND),
    "serves": tuple(v.SERVES),
    "volts": VOLTS,
    "current": tuple(v.CURRENT),
    "amps": AMPS,
    "overcurrent_amps": AMPS,
    "continuous": (False, True),
    "multiwire": (False, True),
    "gfci": (False, True),
}
_WORK: dict[str, tuple[Any, ...]] = {
    "reopened": tuple(v.REOPENED),
    "temporary": (False, True),
    "wiring_age": tuple(v.WIRING_AGE),
}


def random_given(rng: random.Random) -> dict[str, Any]:
    """Give a valid question as a caller writes it: any part may be left to its default."""
    work = _some(rng, _WORK)
    aged = work.get("wiring_age") == "aluminum-branch"
    given: dict[str, Any] = {
        "joint": {"conductors": [_given_conductor(rng, aged) for _ in range(rng.randint(1, 6))]},
        "place": {**_some(rng, _PLACE), **({"corrosion": _corrosion(rng)} if rng.random() < 0.5 else {})},
        "circuit": _some(rng, _CIRCUIT),
        "work": work,
    }
    if rng.random() < 0.5:
        given["joint"]["purpose"] = rng.choice(list(v.PURPOSE))
    if rng.random() < 0.5:
        given["code"] = rng.choice(list(v.CODES))
    return given


def _given_conductor(rng: random.Random, aged: bool) -> dict[str, Any]:
    found = {"size": rng.choice(SIZES), **_some(rng, _CONDUCTOR)}
    if aged:
        found.setdefault("material", "aluminum")
    if rng.random() < 0.5:
        found["count"] = rng.randint(1, 4)
    if rng.random() < 0.5:
        types = _insulation(rng)
        found["insulation"] = types[0] if len(types) == 1 and rng.random() < 0.5 else types
    return found


def _some(rng: random.Random, words: Mapping[str, tuple[Any, ...]]) -> dict[str, Any]:
    return {key: rng.choice(values) for key, values in words.items() if rng.random() < 0.6}


def _corrosion(rng: random.Random) -> list[str]:
    return rng.sample(list(v.CORROSION), rng.randint(0, 3))


def _insulation(rng: random.Random) -> list[str]:
    letters = [each for each in insulation_types() if each != "bare"]
    return ["bare"] if rng.random() < 0.2 else rng.sample(letters, rng.randint(1, 3))


def random_question(rng: random.Random) -> Question:
    """Give a question without reading it, each word as likely as any other of its list."""
    place, circuit, work = _all(rng, _PLACE), _all(rng, _CIRCUIT), _all(rng, _WORK)
    depth, ambient = place.pop("depth"), place.pop("ambient")
    for part, leaves in ((circuit, ("volts", "amps", "overcurrent_amps", "continuous")), (work, ("wiring_age",))):
        part.update((key, None) for key in leaves if rng.random() < 0.4)
    conductors = [_conductor(rng) for _ in range(rng.randint(1, 6))]
    return Question(
        code=rng.choice(list(v.CODES)),
        amendments=(),
        catalogue="shop",
        joint=Joint(rng.choice(list(v.PURPOSE)), merged(conductors)),
        place=Place(
            **place,
            corrosion=tuple(_corrosion(rng)),
            ambient=Measured(**ambient),
            depth=Measured(**depth) if rng.random() < 0.6 else None,
        ),
        circuit=Circuit(**circuit),
        work=Work(**work),
    )


def _all(rng: random.Random, words: Mapping[str, tuple[Any, ...]]) -> dict[str, Any]:
    return {key: rng.choice(values) for key, values in words.items()}


def _conductor(rng: random.Random) -> Conductor:
    return Conductor(
        size=size(rng.choice(SIZES)),
        count=rng.randint(1, 4),
        insulation=tuple(_insulation(rng)) if rng.random() < 0.6 else None,
        **_all(rng, _CONDUCTOR),
    )


def givens() -> st.SearchStrategy[dict[str, Any]]:
    """Give questions as callers write them, one for each seed, smallest seeds first when shrinking."""
    return st.integers(0, 2**32).map(lambda seed: random_given(random.Random(seed)))


def questions() -> st.SearchStrategy[Question]:
    """Give questions as read, one for each seed."""
    return st.integers(0, 2**32).map(lambda seed: random_question(random.Random(seed)))
