"""What a rule tests and does, in words, from what its file writes."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from typing import Any

from splicewright.rulebook.model import Rule

_OPERATORS = {
    "at-least": "is at least", "at-most": "is at most", "above": "is above", "below": "is below",
    "other-than": "is other than",
    "includes": "includes", "includes-any": "includes any of", "includes-all": "includes all of",
    "at-least-if-stated": "is, where its listing states it, at least",
}  # fmt: skip
_PART = {"joint": "the joint", "place": "the place", "circuit": "the circuit", "work": "the work"}


def when_words(rule: Rule) -> Iterator[str]:
    """Give each pattern that must hold: `the place: exposure is wet or buried`; none where the rule always holds."""
    raw = rule.raw["when"]
    conductors = 0
    for pattern in [] if raw == "always" else raw:
        ((group, tests),) = pattern.items()
        if group == "condition":
            yield f"it was concluded: {_tests(tests)}"
        elif group == "conductor":
            conductors += 1
            yield f"{'another' if conductors > 1 else 'some'} conductor: {_tests(tests)}"
        else:
            yield f"{_PART[group]}: {_tests(tests)}"


def effect_words(rule: Rule) -> str:
    """Give what a rule does: `bars the methods push-in or lever`."""
    raw = rule.raw[rule.effect.kind]
    return _EFFECTS[rule.effect.kind](raw)


def remedy_words(change: Mapping[str, Any]) -> str:
    """Give a change that would do instead: `the place: enclosure is box (take it out of the raceway)`."""
    parts = {part: leaves for part, leaves in change.items() if part not in ("split", "do")}
    told = "make it as several joints" if change.get("split") else "; ".join(_changed(parts))
    return f"{told} ({change['do']})" if "do" in change else told


def _changed(parts: Mapping[str, Any]) -> Iterator[str]:
    for part, leaves in parts.items():
        yield f"{_PART.get(part, 'the conductors')}: {_tests(leaves)}"


def _tests(tests: Mapping[str, Any]) -> str:
    return "; ".join(f"{_leaf(leaf)} {_compared(value)}" for leaf, value in tests.items())


def _compared(value: Any) -> str:
    if isinstance(value, Mapping):
        return " and ".join(f"{_OPERATORS.get(operator, operator)} {_value(one)}" for operator, one in value.items())
    return f"is {_value(value)}"


def _value(value: Any) -> str:
    if isinstance(value, list):
        words = [_value(one) for one in value]
        return ", ".join(words[:-1]) + f" or {words[-1]}" if len(words) > 1 else "".join(words)
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, Mapping):
        if set(value) == {"fact"}:
            group, _, leaf = str(value["fact"]).partition(".")
            return f"the {_leaf(leaf)} of the {group}"
        return " ".join(_value(one) for one in value.values())
    return str(value)


def _leaf(name: str) -> str:
    return name.replace("_", " ")


def _methods(raw: Mapping[str, Any], key: str = "methods") -> str:
    return f" (of {_value(raw[key])})" if key in raw else ""


def _step(raw: Mapping[str, Any]) -> str:
    value = raw.get("value")
    figure = f", to the {value['listing']} of its listing" if isinstance(value, Mapping) else f", {value}" * bool(value)
    proves = f"; proves: {_leaf(raw['proves'])}" if raw.get("proves") else ""
    return f"asks the step “{raw['do']}”{figure}, to {raw['phase']}{_methods(raw)}{proves}{_unless(raw)}"


def _defect(raw: Mapping[str, Any]) -> str:
    what = f"{_leaf(raw['sign'])}" if "sign" in raw else _said(raw["said"])
    return f"a proposed splice is unsound where it shows or says: {what}{_methods(raw)}{_unless(raw)}"


def _said(raw: Any) -> str:
    return _tests(raw) if isinstance(raw, Mapping) else _leaf(str(raw))


def _unless(raw: Mapping[str, Any]) -> str:
    return f", unless its listing says: {_tests(raw['unless'])}" if "unless" in raw else ""


_EFFECTS: Mapping[str, Callable[[Any], str]] = {
    "conclude": lambda raw: f"concludes: {_tests(raw)}",
    "demand": lambda raw: f"asks of each connector: {_tests(raw)}",
    "bar": lambda raw: "bars the joint" if raw == "joint" else f"bars the method {_value(raw['method'])}",
    "refer": lambda _: "hands the joint over: it is outside these rules",
    "refuse": lambda raw: f"has the words for connectors that are refused as {raw['fill']}",
    "prefer": lambda raw: "; ".join(f"prefers {how} a connector whose {_tests(tests)}" for how, tests in raw.items()),
    "step": _step,
    "caution": lambda _: "says what to mind",
    "defect": _defect,
    "ask": lambda raw: f"a proposed splice has to say: {_leaf(raw['for'])}{_methods(raw)}",
    "tolerance": lambda raw: f"lets the {_leaf(raw['of'])} be {raw['within']} off{_methods(raw)}",
}
