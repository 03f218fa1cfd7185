"""Catalogues drawn at random, as files write them: every field, groups of all kinds, texts with odd signs."""

from __future__ import annotations

from typing import Any

from hypothesis import assume
from hypothesis import strategies as st

from splicewright.catalogue import catalogue_of
from splicewright.question.vocabulary import CONSTRUCTION, END, MATERIAL, METHODS
from splicewright.refusals import Refused
from splicewright.rulebook.attributes import ATTRIBUTES

_SIZES = ("22 AWG", "18 AWG", "14 AWG", "12 AWG", "10 AWG", "4/0 AWG", "250 kcmil")
_METRIC = ("0.75 mm2", "1.5 mm2", "2.50 mm2", "6 mm2")
_texts = st.text(st.characters(codec="utf-8"), min_size=1, max_size=30) | st.sampled_from(
    [
        "=1+1",
        "'=1+1",
        "@x",
        "-5",
        "1e5",
        "00123",
        "yes",
        "null",
        "12 AWG",
        "a  b",
        " a",
        "a\nb",
        "_x0041_",
        "é ✓",
        "a: b # c",
    ]
)


def some(words: Any) -> st.SearchStrategy[list[str]]:
    return st.lists(st.sampled_from(sorted(words)), min_size=1, max_size=3, unique=True)


def _fields() -> dict[str, st.SearchStrategy[Any]]:
    found: dict[str, st.SearchStrategy[Any]] = {}
    for name in ("volts", "luminaire_volts"):
        found[name] = st.sampled_from(["300 V", "600 V", "1000 V"])
    for name, kind in ATTRIBUTES.items():
        if name in ("resists", "sealed", "uncut", "caps", "insulated", "reusable", "clear"):
            found[name] = st.booleans() if kind.kind == "flag" else st.lists(st.sampled_from(kind.words), unique=True)
    return {
        **found,
        "places": some(ATTRIBUTES["places"].words),
        "grounding": st.sampled_from(ATTRIBUTES["grounding"].words),
        "tool": st.sampled_from(ATTRIBUTES["tool"].words),
        "strip": _figures("strip", "9 mm", "1/2 in", "0.375 in"),
        "torque": _figures("torque", "35 lbf-in", "4.5 N-m", "20 lbf-ft"),
        "degrees": _figures("degrees", "90 degC", "221 degF"),
        "amps": _figures("amps", "20 A", "32 A"),
        "outside": st.sampled_from(["20 x 9 mm", "1.2 x 0.7 x 0.5 in"]),
        "name": _texts, "about": _texts, "part_number": _texts,
        "pack": st.integers(1, 1000), "on_hand": st.integers(0, 1000), "price": st.sampled_from([0.5, 14.9, 100]),
        "minutes": st.sampled_from([0.5, 2]),
        "source": st.fixed_dictionaries(
            {"document": _texts}, optional={"where": _texts, "read_on": st.just("2026-11-30"), "read_by": _texts}
        ),
    }  # fmt: skip


@st.composite
def _ranges(draw: Any, sizes: tuple[str, ...] = _SIZES) -> dict[str, str]:
    ends = sorted(draw(st.lists(st.integers(0, len(sizes) - 1), min_size=2, max_size=2)))
    return {"from": sizes[ends[0]], "to": sizes[ends[1]]}


def _figures(name: str, *values: str) -> st.SearchStrategy[Any]:
    value = st.sampled_from(values)
    one = st.builds(
        lambda size, materials, figure: {**size, **({"materials": materials} if materials else {}), name: figure},
        _ranges(),
        st.none() | some(MATERIAL),
        value,
    )
    return value | one | st.lists(one, min_size=1, max_size=2)


@st.composite
def _combinations(draw: Any) -> dict[str, Any]:
    entry = st.tuples(
        st.sampled_from(_SIZES + _METRIC),
        st.lists(st.sampled_from([*CONSTRUCTION, *MATERIAL, *END]), max_size=2, unique=True),
        st.sampled_from([1, 2, "1 to 2", "2 to 4"]),
    )
    lines = draw(st.lists(st.lists(entry, min_size=1, max_size=3), min_size=1, max_size=3))
    written = [{" ".join([size, *words]): count for size, words, count in line} for line in lines]
    ends = {"ends": draw(some(END))} if draw(st.booleans()) else {}
    return {
        "materials": draw(some(MATERIAL)),
        "constructions": draw(some(CONSTRUCTION)),
        **ends,
        "combinations": written,
    }


@st.composite
def _ports(draw: Any) -> dict[str, Any]:
    one = st.builds(
        lambda size, more: {**size, **more},
        _ranges(),
        st.fixed_dictionaries({}, optional={"materials": some(MATERIAL), "ends": some(END)}),
    )
    kinds = st.fixed_dictionaries(
        {"count": st.integers(1, 4)},
        optional={
            "conductors": st.integers(1, 2),
            "strip": st.just("9 mm"),
            **{name: one | st.lists(one, min_size=1, max_size=2) for name in CONSTRUCTION},
        },
    )
    found = {"materials": draw(some(MATERIAL)), "ports": draw(st.lists(kinds, min_size=1, max_size=2))}
    return {**found, **draw(st.fixed_dictionaries({}, optional={"ends": some(END), "least": st.integers(1, 3)}))}


_metal = st.fixed_dictionaries(
    {
        "materials": some(MATERIAL),
        "constructions": some(CONSTRUCTION),
        "metal": st.lists(
            st.fixed_dictionaries(
                {
                    "from": st.just("3 mm2"),
                    "to": st.sampled_from(["8 mm2", "12.5 mm2"]),
                    "count": st.sampled_from([2, "2 to 5"]),
                    "thinnest": st.just("18 AWG"),
                    "thickest": st.sampled_from(["14 AWG", "10 AWG"]),
                }
            ),
            min_size=1,
            max_size=2,
        ),
    },
    optional={"ends": some(END)},
)


@st.composite
def catalogues(draw: Any) -> dict[str, Any]:
    """Draw a valid catalogue."""
    fields = _fields()
    ids = draw(st.lists(st.sampled_from(["a", "b-2", "lever-mine", "z"]), min_size=1, max_size=2, unique=True))
    takes = st.lists(_combinations() | _ports() | _metal, min_size=1, max_size=2)
    own = st.fixed_dictionaries({"method": st.sampled_from(sorted(METHODS)), "takes": takes}, optional=fields)
    head = draw(
        st.fixed_dictionaries(
            {"note": _texts},
            optional={"minutes": st.just({"lever": 1.5}), "unstated": st.just("unknown")},
        )
    )
    found = {"catalogue": "drawn", **head, "connectors": [{"id": one, **draw(own)} for one in ids]}
    try:
        catalogue_of(found)
    except Refused:
        assume(False)
    return found
