"""Random valid questions: as given to `read_question`, and built at once where speed matters."""

from __future__ import annotations

import random
from collections.abc import Mapping, Sequence
from typing import Any

from hypothesis import strategies as st

from splicewright.question import vocabulary as v
from splicewright.question.leaf import leaves_of
from splicewright.question.model import Circuit, Conductor, Joint, Place, Question, Work
from splicewright.question.read import merged
from splicewright.tables.conductors import insulation_types
from splicewright.units import size
from tests.question.leaves import PARTS, TAGS, may_be_unsaid

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
_NUMBERS: Mapping[str, tuple[Any, ...]] = {"V": VOLTS, "A": AMPS, "in": DEPTHS, "degC": AMBIENTS}
_LIKELY_GIVEN, _LIKELY_STATED = 0.6, 0.6


def random_given(rng: random.Random) -> dict[str, Any]:
    """Give a valid question as a caller writes it: any part may be left to its default."""
    work = _some(rng, Work)
    aged = work.get("wiring_age") == "aluminum-branch"
    given: dict[str, Any] = {
        "joint": {**_some(rng, Joint), "conductors": [_given_conductor(rng, aged) for _ in range(rng.randint(1, 6))]},
        "place": _some(rng, Place),
        "circuit": _some(rng, Circuit),
        "work": work,
    }
    if rng.random() < 0.5:
        given["code"] = rng.choice(list(v.CODES))
    return given


def _given_conductor(rng: random.Random, aged: bool) -> dict[str, Any]:
    found = {"size": rng.choice(SIZES), **_some(rng, Conductor)}
    if aged:
        found.setdefault("material", "aluminum")
    if len(found.get("insulation", ())) == 1 and rng.random() < 0.5:
        (found["insulation"],) = found["insulation"]
    return found


def _some(rng: random.Random, part: type) -> dict[str, Any]:
    return {name: value for name, value in _all(rng, part).items() if rng.random() < _LIKELY_GIVEN}


def _all(rng: random.Random, part: type) -> dict[str, Any]:
    return {name: _value(rng, leaf.field) for name, leaf in leaves_of(part).items() if leaf.field.kind != "list"}


def _value(rng: random.Random, field: Any) -> Any:
    """Give a value of a leaf, each as likely as any other."""
    if field.kind == "words":
        words = list(field.words)
        return _insulation(rng) if "bare" in words else rng.sample(words, rng.randint(0, min(3, len(words))))
    if field.kind == "tags":
        return rng.sample(TAGS, rng.randint(0, len(TAGS)))
    return rng.choice(_values(field))


def _values(field: Any) -> Sequence[Any]:
    match field.kind:
        case "word":
            return list(field.words)
        case "flag":
            return False, True
        case "number" if not field.units:
            return range(field.least, min(field.most, field.least + 3) + 1)
        case "number":
            return [each for each in _NUMBERS[field.units[0]] if field.least <= each <= field.most]
        case "quantity":
            return _NUMBERS[next(iter(field.units))]
    return {"text": ("A", "B", "C"), "size": SIZES}[field.kind]


def _insulation(rng: random.Random) -> list[str]:
    letters = [each for each in insulation_types() if each != "bare"]
    return ["bare"] if rng.random() < 0.2 else rng.sample(letters, rng.randint(1, 3))


def random_question(rng: random.Random) -> Question:
    """Give a question without reading it, each word as likely as any other of its list."""
    conductors = [_made(rng, "conductor", size=size(rng.choice(SIZES))) for _ in range(rng.randint(1, 6))]
    return Question(
        code=rng.choice(list(v.CODES)),
        amendments=(),
        catalogue="shop",
        joint=_made(rng, "joint", conductors=merged(conductors)),
        place=_made(rng, "place"),
        circuit=_made(rng, "circuit"),
        work=_made(rng, "work"),
    )


def _made(rng: random.Random, name: str, **known: Any) -> Any:
    declared = leaves_of(PARTS[name])
    leaves = {leaf: declared[leaf].field.held(value) for leaf, value in _all(rng, PARTS[name]).items()}
    for leaf in leaves:
        if may_be_unsaid(f"{name}.{leaf}") and rng.random() > _LIKELY_STATED:
            leaves[leaf] = None
    return PARTS[name](**{**leaves, **known})


def givens() -> st.SearchStrategy[dict[str, Any]]:
    """Give questions as callers write them, one for each seed, smallest seeds first when shrinking."""
    return st.integers(0, 2**32).map(lambda seed: random_given(random.Random(seed)))


def questions() -> st.SearchStrategy[Question]:
    """Give questions as read, one for each seed."""
    return st.integers(0, 2**32).map(lambda seed: random_question(random.Random(seed)))
