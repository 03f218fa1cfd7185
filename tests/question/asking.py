"""Questions for tests: a plain one, parts laid over it, and generated ones."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from hypothesis import strategies as st

from splicewright.question import vocabulary as v
from splicewright.question.answer_vocabulary import EXPLAIN, INCLUDE
from splicewright.question.leaf import leaves_of
from splicewright.question.model import Circuit, Conductor, Joint, Place, Work
from splicewright.question.read import read_question
from splicewright.tables.conductors import insulation_types

if TYPE_CHECKING:
    from collections.abc import Callable

    from splicewright.question.model import Question
from splicewright.question.read import ParsedQuestion

TWELVE = {"size": "12 AWG"}


def sent(*conductors: dict[str, Any], **parts: Any) -> dict[str, Any]:
    """Give a question as sent: these conductors (two 12 AWG if none) and these parts."""
    return {"joint": {"conductors": list(conductors) or [{**TWELVE, "count": 2}]}, **parts}


def asked(*conductors: dict[str, Any], **parts: Any) -> ParsedQuestion:
    return read_question(sent(*conductors, **parts))


def question(*conductors: dict[str, Any], **parts: Any) -> Question:
    return asked(*conductors, **parts).question


def tenths(least: float, most: float) -> st.SearchStrategy[float]:
    return st.integers(round(least * 10), round(most * 10)).map(lambda n: n / 10)


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
tags = st.from_regex("[a-z0-9]{1,9}(-[a-z0-9]{1,9}){0,2}", fullmatch=True)
lengths = st.fixed_dictionaries({"value": tenths(0, 30_000), "unit": st.sampled_from(list(v.LENGTH_UNITS))})
degrees = st.fixed_dictionaries({"value": tenths(-60, 200), "unit": st.just("degC")}) | st.fixed_dictionaries(
    {"value": tenths(-76, 392), "unit": st.just("degF")}
)


def values(field: Any) -> st.SearchStrategy[Any]:
    """Draw what a leaf may hold, as a caller writes it."""
    drawn: dict[str, Callable[[], st.SearchStrategy[Any]]] = {
        "word": lambda: st.sampled_from(list(field.words)),
        "words": lambda: st.lists(st.sampled_from(list(field.words)), unique=True),
        "tags": lambda: st.lists(tags, max_size=4, unique=True),
        "list": lambda: st.lists(values(field.inner), max_size=3),
        "flag": st.booleans,
        "number": lambda: tenths(field.least, field.most) if field.decimals else st.integers(field.least, field.most),
        "quantity": lambda: degrees if "degC" in field.units else lengths,
        "text": lambda: st.text(st.characters(codec="utf-8"), max_size=field.longest),
        "size": lambda: sizes,
    }
    return drawn[field.kind]()


def part(of: type, *always: str, **drawn: st.SearchStrategy[Any]) -> st.SearchStrategy[dict[str, Any]]:
    """Draw a part: some of its leaves, and those that are `always` there. Some may be `drawn` in ways of their own."""
    leaves = {name: leaf.field for name, leaf in leaves_of(of).items() if name not in drawn}
    each = {**drawn, **{name: values(field) for name, field in leaves.items()}}
    return st.fixed_dictionaries({name: each.pop(name) for name in always}, optional=each)


conductors = part(Conductor, "size", "material", count=st.integers(1, 4) | st.just(2.0), insulation=insulation)
narrowings = st.fixed_dictionaries(
    {},
    optional={
        "connectors": st.lists(st.text(st.characters(codec="utf-8"), max_size=100), max_size=3),
        "methods": st.lists(st.sampled_from(list(v.METHODS)), unique=True),
    },
)
places, circuits, works = part(Place), part(Circuit), part(Work)
joints = part(Joint, "conductors", conductors=st.lists(conductors, min_size=1, max_size=6))
questions = st.fixed_dictionaries(
    {"joint": joints},
    optional={
        "id": st.text(st.characters(codec="utf-8"), max_size=100),
        "code": st.sampled_from(list(v.CODES)),
        "amendments": st.just([]),
        "catalogue": st.text(st.characters(codec="utf-8"), max_size=100),
        "explain": st.sampled_from(list(EXPLAIN)),
        "include": st.lists(st.sampled_from(list(INCLUDE)), unique=True),
        "only": narrowings,
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
