"""Requests filled in as a form would, from what GET /v1/vocabulary tells and from nothing else."""

from __future__ import annotations

import copy
import functools
import math
from collections.abc import Mapping
from itertools import pairwise
from typing import Any

from hypothesis import strategies as st

from tests.api.asking import new_client

Part = Mapping[str, Any]
#: Names that a server knows, which a form asks the catalogues for.
CONNECTOR = "lever-3-port"
NAMES = {
    "catalogue": "shop",
    "connector": CONNECTOR,
    "connectors": CONNECTOR,
    "carry": CONNECTOR,
    "amendments": "house-rules",
}


@functools.cache
def vocabulary() -> dict[str, Any]:
    found: dict[str, Any] = new_client().get("/v1/vocabulary").get_json()
    return found


@functools.cache
def words_of(name: str) -> tuple[str, ...]:
    return next(tuple(word["word"] for word in one["words"]) for one in vocabulary()["lists"] if one["name"] == name)


CALLS = [form["call"] for form in vocabulary()["forms"]]


def form_of(call: str) -> dict[str, Any]:
    found: dict[str, Any] = next(form for form in vocabulary()["forms"] if form["call"] == call)
    return found


def first(pointer: str) -> str:
    """Give a pointer to the first of each list, and to one connector of each map."""
    return pointer.replace("/prices/*", f"/prices/{CONNECTOR}").replace("*", "0")


def put(body: dict[str, Any], pointer: str, value: Any) -> None:
    """Put a value at the first place that a pointer of a form names; what leads there is made."""
    at: Any = body
    steps = pointer.replace("/prices/*", f"/prices/{CONNECTOR}").split("/")[1:]
    for key, then in pairwise(steps):
        if key == "*":
            if not at:
                at.append({})
            at = at[0]
        else:
            at = at.setdefault(key, [] if then == "*" else {})
    at[steps[-1]] = value


def some(part: Part) -> Any:
    """Give a value that a part takes."""
    name = part["pointer"].rpartition("/")[2]
    value: Any
    match part["kind"]:
        case "text":
            value = NAMES.get(name, "x")
        case "word" | "words":
            value = words_of(part["list"])[0]
        case "flag" | "flag-or-quantity":
            value = False
        case "number":
            value = part["least"]
        case "quantity":
            value = {"value": max(part["least"], 1), "unit": part["units"][0]}
        case kind:
            value = {"size": "12 AWG", "tag": "kitchen"}[kind]
    return [value] if part["several"] else value


def least(call: str, *groups: str) -> dict[str, Any]:
    """Make a request that says no more than it must, with these groups in it."""
    form = form_of(call)
    wanted = {group["pointer"] for group in form["groups"] if group["required"]} | set(groups)
    wanted |= {"/joints/*"} if call == "/v1/jobs" else set()  # a job has at least one joint or box
    wanted |= {pointer[:at] for pointer in wanted for at, sign in enumerate(pointer) if sign == "/"}
    body: dict[str, Any] = {}
    while True:
        inner = {
            group["pointer"]
            for group in form["groups"]
            if group["required"] and any(group["pointer"].startswith(f"{one}/") for one in wanted - {""})
        }
        if inner <= wanted:
            break
        wanted |= inner
    for group in form["groups"]:
        if group["pointer"] in wanted and group["pointer"]:
            put(body, f"{group['pointer']}/-", None)
    for part in form["parts"]:
        if part["group"] in wanted and part["required"]:
            put(body, part["pointer"], some(part))
    return without_marks(body)


def without_marks(body: Any) -> Any:
    if isinstance(body, dict):
        return {key: without_marks(one) for key, one in body.items() if key != "-"}
    return [without_marks(one) for one in body] if isinstance(body, list) else body


def values(part: Part) -> st.SearchStrategy[Any]:
    """Draw what a part takes."""
    name = part["pointer"].rpartition("/")[2]
    drawn: st.SearchStrategy[Any]
    match part["kind"]:
        case "text":
            drawn = (
                st.just(NAMES[name])
                if name in NAMES
                else st.text(st.characters(codec="utf-8"), max_size=part["longest"])
            )
        case "word" | "words" | "size":
            drawn = st.sampled_from(words_of(part["list"]))
        case "tag":
            drawn = st.from_regex("[a-z]{1,8}(-[0-9]{1,3})?", fullmatch=True)
        case "flag" | "flag-or-quantity":
            drawn = st.booleans()
        case "number":
            drawn = numbers(part)
        case _:
            drawn = st.fixed_dictionaries({"value": numbers(part), "unit": st.sampled_from(part["units"])})
    return st.lists(drawn, min_size=1, max_size=3, unique_by=repr) if part["several"] else drawn


def numbers(part: Part) -> st.SearchStrategy[float]:
    if part.get("decimals") == 0:
        return st.integers(int(part["least"]), min(int(part["most"]), 5))
    if "decimals" in part and "rounded" not in part:
        steps = 10 ** part["decimals"]
        return st.integers(math.ceil(part["least"] * steps), int(part["most"] * steps)).map(lambda n: n / steps)
    return st.floats(part["least"], part["most"])


def found_at(body: Any, pointer: str) -> Any:
    """Give what stands at the first place that a pointer of a form names; None where nothing does."""
    at = body
    for key in first(pointer).split("/")[1:]:
        at = at.get(key) if isinstance(at, dict) else at[int(key)] if isinstance(at, list) and at else None
    return at


def holds(condition: Part, body: Any, parts: Mapping[str, Part]) -> bool:
    """Tell whether a condition of a form holds of what was filled in so far, or is assumed."""
    at = found_at(body, condition["pointer"])
    if "stated" in condition:
        return (at is not None) == condition["stated"]
    return (parts[condition["pointer"]].get("assumed") if at is None else at) in condition["is"]


@st.composite
def filled(draw: st.DrawFn, call: str) -> dict[str, Any]:
    """Fill a form in: what it must have, and some of what it asks for."""
    form = form_of(call)
    parts = {part["pointer"]: part for part in form["parts"]}
    groups = draw(st.lists(st.sampled_from([group["pointer"] for group in form["groups"]]), max_size=4))
    body = least(call, *groups)
    for part in form["parts"]:
        there = found_at(body, part["group"]) is not None
        conditions = part.get("required_if", ())
        must = bool(conditions) and all(holds(one, body, parts) for one in conditions)
        asked = all(holds(one, body, parts) for one in part.get("asked_if", ()))
        if there and asked and (must or draw(st.booleans())):
            put(body, part["pointer"], draw(values(part)))
    for part in form["parts"]:  # what has to be given since a later part says so
        conditions = part.get("required_if", ())
        there = found_at(body, part["group"]) is not None
        if conditions and there and all(holds(one, body, parts) for one in conditions):
            put(body, part["pointer"], draw(values(part)))
    return copy.deepcopy(body)
