"""What a question may hold, fact by fact: so that a changed comparison that no question can tell apart is no mutant.

`test_mutants.py` proves on generated questions that no fact ever leaves what is said here.
"""

from __future__ import annotations

import functools
from collections.abc import Iterable

from splicewright.question.fact_kinds import FactKind, Value, fact_kinds
from splicewright.question.model import MOST_CONDUCTORS
from splicewright.question.vocabulary import MATERIAL
from splicewright.rulebook.model import Test
from splicewright.tables.conductors import cable_insulation, insulation_types
from splicewright.tables.loader import table
from splicewright.units import size, whole
from tests.oracle.plain import holds
from tests.question.leaves import ends, every, may_be_unsaid, words_of

GAUGES = tuple(
    size(text).area
    for text in (
        *(f"{number} AWG" for number in range(40, 0, -1)),
        *(f"{aught}/0 AWG" for aught in range(1, 5)),
        *(f"{kcmil} kcmil" for kcmil in (250, 300, 350, 400, 500, 600, 700, 750, 800, 900, 1000, 1250, 1500, 2000)),
    )
)
_FAR = 10**12
#: The least and the most that a number may be, in base units, from the leaves and from what is counted.
_BETWEEN: dict[str, tuple[int, int]] = {
    **{name: ends(name) for name, leaf in every().items() if leaf.field.kind in ("number", "quantity")},
    "place.ambient": (whole(-60, "degC"), whole(200, "degC")),
    "joint.count": (1, MOST_CONDUCTORS),
    "joint.through": (0, MOST_CONDUCTORS),
    "joint.circuits": (0, MOST_CONDUCTORS),
    "joint.metals": (1, len(MATERIAL)),
    "joint.gauge_steps": (0, _FAR),
    "conductor.ampacity": (0, _FAR),
    "conductor.most_ampacity": (1, _FAR),
    "conductor.protected_at": (0, _FAR),
}
_PERHAPS = frozenset(
    {
        "joint.grounding_undersized",
        "joint.some_grounding_undersized",
        "conductor.ampacity",
        "conductor.most_ampacity",
        "conductor.protected_at",
        *(name for name in every() if may_be_unsaid(name)),
    }
)
#: Numbers that every question has. Words and flags are always there, save those of _PERHAPS.
_ALWAYS = frozenset({*_BETWEEN, "place.required_cover", "joint.largest", "joint.smallest", "conductor.size"}) - _PERHAPS
_LOAD, _DEVICE = "circuit.amps", "circuit.overcurrent_amps"
#: Numbers that are made from others, with those: where one has a value, they have one too.
_MADE_FROM: dict[str, tuple[str, ...]] = {
    "conductor.device_excess": ("conductor.device_limit", _DEVICE),
    "conductor.load_above_device": ("conductor.device_limit", _LOAD),
    "conductor.protection_excess": ("conductor.protected_at", _DEVICE),
    "conductor.load_above_protection": ("conductor.protected_at", _LOAD),
    "conductor.unmarked_excess": ("conductor.protected_at", _DEVICE),
    "conductor.rounded_up": ("conductor.protected_at", _DEVICE),
    "conductor.control_excess": (_DEVICE,),
    "conductor.load_margin": ("conductor.ampacity", _LOAD),
    "conductor.most_margin": ("conductor.most_ampacity", _LOAD),
    "conductor.continuous_margin": (_LOAD,),
    "conductor.joint_degrees": (_LOAD,),
    "joint.tapped_excess": (_DEVICE,),
    "joint.tap_excess": (_DEVICE,),
    "joint.grounding_undersized": ("joint.least_grounding", _DEVICE),
    "joint.some_grounding_undersized": ("joint.least_grounding", _DEVICE),
    "circuit.load_excess": (_LOAD, _DEVICE),
    "circuit.continuous_excess": (_LOAD, _DEVICE),
}
_STEPS = {"volts": 1, "amps": 1, "count": 1, "temperature": whole(0.1, "degC"), "length": whole(0.1, "in")}


@functools.cache
def _listed() -> dict[str, tuple[int, ...]]:
    """The numbers that only take figures of a table."""
    kinds = [*insulation_types().values(), *cable_insulation().values()]
    cover = table("cover").rows
    found = {
        "conductor.degrees": {
            whole(each, "degC") for kind in kinds for each in (kind.degrees, kind.degrees_wet) if each is not None
        },
        "conductor.joint_degrees": {whole(each, "degC") for each in (60, 75, 90)},
        "conductor.device_limit": {whole(row["amps"], "A") for row in table("small-conductors").rows["most"]},
        "place.required_cover": {
            whole(each, unit) for unit in ("in", "mm") for row in cover[unit].values() for each in row.values()
        },
    }
    return {name: tuple(sorted(values)) for name, values in found.items()}


def few(name: str) -> tuple[int, ...] | None:
    """Give the values of a number that has only a few, in order: those that stand in a table."""
    return GAUGES if fact_kinds()[name].kind == "size" else _listed().get(name)


def always(name: str) -> bool:
    """Tell whether every question gives this fact a value."""
    kind = fact_kinds()[name].kind
    return name in _ALWAYS or (kind in ("word", "words", "flag") and name not in _PERHAPS)


def known_with(names: Iterable[str]) -> frozenset[str]:
    """Give the facts that have a value wherever all of these have one."""
    return frozenset(each for name in names for each in _MADE_FROM.get(name, ()))


def between(name: str) -> tuple[int, int]:
    """Give the least and the most that a number may be, in base units."""
    known = few(name)
    if fact_kinds()[name].kind == "size":
        return GAUGES[0], size("2500 mm2").area
    return (known[0], known[-1]) if known else _BETWEEN.get(name, (-_FAR, _FAR))


def stepped(name: str, value: int) -> Iterable[int]:
    """Give the values one step below and one step above: the next one that a question or a table can state."""
    known = few(name)
    if known is None:
        step = _STEPS[fact_kinds()[name].kind]
        return value - step, value + step
    return beside(value, known)


def beside(value: int, known: Iterable[int] = GAUGES) -> tuple[int, ...]:
    """Give the values below and above one of those known, in order; of gauges where nothing else is said."""
    known = tuple(known)
    lower = [each for each in known if each < value]
    higher = [each for each in known if each > value]
    return (*lower[-1:], *higher[:1])


def same(
    before: tuple[Test, ...],
    after: tuple[Test, ...],
    words: tuple[str, ...] = (),
    known: frozenset[str] = frozenset(),
) -> bool:
    """Tell whether tests of one fact are true of the same values, over all that a question may hold.

    `words` are those of a condition, which `fact_kinds` does not know. Facts that are `known` have a value, since
    another test of the rule needs it.
    """
    name = (before or after)[0].name
    points = [{name: value} for value in _points(name, (*before, *after), words)]
    if not words and not always(name) and name not in known:
        points.append({})
    return all(
        all(holds(test, point) for test in before) == all(holds(test, point) for test in after) for point in points
    )


def _points(name: str, tests: tuple[Test, ...], words: tuple[str, ...]) -> Iterable[Value]:
    if words:
        return words
    kind: FactKind = fact_kinds()[name]
    if kind.kind == "flag":
        return True, False
    if kind.kind == "word":
        return kind.words
    if kind.kind == "words":
        none: tuple[str, ...] = ()
        return [none, *((word,) for word in words_of(kind))]
    least, most = between(name)
    near = {int(value) + by for test in tests for value in test.values for by in (-1, 0, 1)}
    return sorted(each for each in few(name) or {least, most, *near} if least <= each <= most)
