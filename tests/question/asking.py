"""Questions for tests: a plain one, parts laid over it, and generated ones."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from hypothesis import strategies as st

from splicewright.question import vocabulary as v
from splicewright.question.read import read_question
from splicewright.tables.insulation import insulation_types

if TYPE_CHECKING:
    from splicewright.question.model import ParsedQuestion, Question

TWELVE = {"size": "12 AWG"}


def sent(*conductors: dict[str, Any], **parts: Any) -> dict[str, Any]:
    """Give a question as sent: these conductors (two 12 AWG if none) and these parts."""
    return {"joint": {"conductors": list(conductors) or [{**TWELVE, "count": 2}]}, **parts}


def asked(*conductors: dict[str, Any], **parts: Any) -> ParsedQuestion:
    return read_question(sent(*conductors, **parts))


def question(*conductors: dict[str, Any], **parts: Any) -> Question:
    return asked(*conductors, **parts).question


def tenths(least: int, most: int) -> st.SearchStrategy[float]:
    return st.integers(least * 10, most * 10).map(lambda n: n / 10)


sizes = st.sampled_from(
    [
        "18 AWG",
        "14 AWG",
        "12 AWG",
        "10 AWG",
        "8 AWG",
        "1/0 AWG",
        "250 kcmil",
        "1.5 mm2",
        "2.50 mm2",
        "6 mm2",
        "10.0 mm2",
    ]
)
insulation = (
    st.just("bare")
    | st.just(["bare"])
    | st.lists(st.sampled_from([t for t in insulation_types() if t != "bare"]), min_size=1, max_size=4, unique=True)
)
conductors = st.fixed_dictionaries(
    {"size": sizes, "material": st.sampled_from(list(v.MATERIAL))},
    optional={
        "count": st.integers(1, 4) | st.just(2.0),
        "construction": st.sampled_from(list(v.CONSTRUCTION)),
        "finish": st.sampled_from(list(v.FINISH)),
        "end": st.sampled_from(list(v.END)),
        "condition": st.sampled_from(list(v.CONDITION)),
        "circuit": st.text(st.characters(codec="utf-8"), max_size=40),
        "cable": st.sampled_from(list(v.CABLE)),
        "insulation": insulation,
        "role": st.sampled_from(list(v.ROLE)),
        "path": st.sampled_from(list(v.PATH)),
    },
)
lengths = st.fixed_dictionaries({"value": tenths(0, 30_000), "unit": st.sampled_from(list(v.LENGTH_UNITS))})
degrees = st.fixed_dictionaries({"value": tenths(-60, 200), "unit": st.just("degC")}) | st.fixed_dictionaries(
    {"value": tenths(-76, 392), "unit": st.just("degF")}
)
places = st.fixed_dictionaries(
    {},
    optional={
        "premises": st.sampled_from(list(v.PREMISES)),
        "exposure": st.sampled_from(list(v.EXPOSURE)),
        "site": st.sampled_from(list(v.SITE)),
        "enclosure": st.sampled_from(list(v.ENCLOSURE)),
        "box_material": st.sampled_from(list(v.BOX_MATERIAL)),
        "reach": st.sampled_from(list(v.REACH)),
        "movement": st.sampled_from(list(v.MOVEMENT)),
        "corrosion": st.lists(st.sampled_from(list(v.CORROSION)), unique=True),
        "ambient": degrees,
        "hazardous": st.booleans(),
        "depth": lengths,
        "cover": st.sampled_from(list(v.COVER)),
        "wiring": st.sampled_from(list(v.WIRING)),
        "dwelling": st.booleans(),
    },
)
circuits = st.fixed_dictionaries(
    {},
    optional={
        "kind": st.sampled_from(list(v.KIND)),
        "serves": st.sampled_from(list(v.SERVES)),
        "volts": tenths(1, 100_000),
        "current": st.sampled_from(list(v.CURRENT)),
        "amps": tenths(1, 10_000),
        "overcurrent_amps": tenths(1, 10_000),
        "continuous": st.booleans(),
        "multiwire": st.booleans(),
        "gfci": st.booleans(),
    },
)
works = st.fixed_dictionaries(
    {},
    optional={
        "reopened": st.sampled_from(list(v.REOPENED)),
        "temporary": st.booleans(),
        "wiring_age": st.sampled_from(list(v.WIRING_AGE)),
    },
)
joints = st.fixed_dictionaries(
    {"conductors": st.lists(conductors, min_size=1, max_size=6)},
    optional={"purpose": st.sampled_from(list(v.PURPOSE))},
)
questions = st.fixed_dictionaries(
    {"joint": joints},
    optional={
        "id": st.text(st.characters(codec="utf-8"), max_size=100),
        "code": st.sampled_from(list(v.CODES)),
        "amendments": st.lists(st.text(st.characters(codec="utf-8"), max_size=100), max_size=3),
        "catalogue": st.text(st.characters(codec="utf-8"), max_size=100),
        "explain": st.sampled_from(list(v.EXPLAIN)),
        "limit": st.integers(1, 100),
        "place": places,
        "circuit": circuits,
        "work": works,
    },
)

keys = st.sampled_from(
    ["id", "code", "joint", "purpose", "conductors", "size", "count", "insulation", "circuit", "place",
     "ambient", "depth", "value", "unit", "corrosion", "volts", "work", "wiring_age", "limit", "amendments"],
)  # fmt: skip
words = st.sampled_from(["12 AWG", "copper", "THHN", "bare", "wet", "degC", "in", "aluminum-branch", "salt-air"])
scalars = st.none() | st.booleans() | st.integers() | st.floats() | st.text() | words
anything = st.recursive(
    scalars,
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(keys | st.text(max_size=8), inner, max_size=5),
    max_leaves=25,
)
