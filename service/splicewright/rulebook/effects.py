"""What a rule does, read from its one effect key."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from typing import Any

from splicewright.question.vocabulary import METHODS, PHASES
from splicewright.reading import Problem, join, not_allowed
from splicewright.rulebook.comparisons import read_listing_tests
from splicewright.rulebook.model import Effect, Kind

EFFECTS = ("conclude", "demand", "bar", "refer", "refuse", "prefer", "step", "caution")
VERDICTS = (
    "too-few", "too-small", "too-many", "too-large", "size-not-taken", "construction-not-taken", "ports-too-few",
)  # fmt: skip
STRENGTHS = ("strongly", "clearly", "slightly")
_WORD = re.compile(r"[a-z][a-z0-9]*([-_][a-z0-9]+)*\Z")
_STEP_KEYS = ("phase", "methods", "do", "value", "proves")


_Reader = Callable[[Any, str, list[Problem], Mapping[str, Any]], Effect | None]


def read_effect(rule: Mapping[str, Any], pointer: str, problems: list[Problem]) -> Effect | None:
    """Read the effect of a rule, which has exactly one."""
    named = [key for key in EFFECTS if key in rule]
    if len(named) != 1:
        what = f"has {' and '.join(named)}" if named else "does nothing"
        problems.append(Problem(pointer, f"{what}; a rule does exactly one of: {', '.join(EFFECTS)}"))
        return None
    key = named[0]
    if "remedies" in rule and key != "bar":
        problems.append(Problem(join(pointer, "remedies"), "only a bar carries remedies"))
    return _READERS[key](rule[key], join(pointer, key), problems, rule)


def _conclude(raw: Any, pointer: str, problems: list[Problem], _rule: Any) -> Effect | None:
    if not isinstance(raw, dict) or len(raw) != 1:
        problems.append(Problem(pointer, "concludes one thing, such as {place: wet}"))
        return None
    ((key, word),) = raw.items()
    if not (isinstance(word, str) and _WORD.match(key) and _WORD.match(word)):
        problems.append(Problem(pointer, "a condition is two plain words, such as {place: wet}"))
        return None
    return Effect("conclude", concludes=(key, word))


def _demand(raw: Any, pointer: str, problems: list[Problem], _rule: Any) -> Effect | None:
    tests = read_listing_tests(raw, pointer, problems)
    return Effect("demand", tests=tests) if tests else None


def _bar(raw: Any, pointer: str, problems: list[Problem], rule: Mapping[str, Any]) -> Effect | None:
    remedies = rule.get("remedies", [])
    if not isinstance(remedies, list) or not all(isinstance(one, dict) for one in remedies):
        problems.append(Problem(join(pointer.rpartition("/")[0], "remedies"), "must be a list of small changes"))
        remedies = []
    if raw == "joint":
        return Effect("bar", remedies=tuple(remedies))
    if isinstance(raw, dict) and set(raw) == {"method"}:
        methods = _methods(raw["method"], join(pointer, "method"), problems)
        return Effect("bar", methods=methods, remedies=tuple(remedies)) if methods else None
    problems.append(Problem(pointer, "bars the joint or {method: [...]}"))
    return None


def _methods(raw: Any, pointer: str, problems: list[Problem]) -> tuple[str, ...]:
    listed = raw if isinstance(raw, list) else [raw]
    wrong = [str(one) for one in listed if one not in METHODS]
    problems.extend(Problem(pointer, not_allowed(one, METHODS)) for one in wrong)
    if not listed:
        problems.append(Problem(pointer, "names no method"))
    return () if wrong else tuple(listed)


def _flagged(kind: Kind) -> _Reader:
    def read(raw: Any, pointer: str, problems: list[Problem], _rule: Any) -> Effect | None:
        if raw is not True:
            problems.append(Problem(pointer, "is written true"))
            return None
        return Effect(kind)

    return read


def _refuse(raw: Any, pointer: str, problems: list[Problem], rule: Mapping[str, Any]) -> Effect | None:
    verdict = raw.get("fill") if isinstance(raw, dict) and set(raw) == {"fill"} else None
    if verdict not in VERDICTS:
        problems.append(Problem(pointer, f"is written {{fill: …}}: {not_allowed(str(verdict), VERDICTS)}"))
        return None
    if rule.get("when") != "always":
        problems.append(Problem(pointer, "words for a verdict of fill hold always; write when: always"))
    return Effect("refuse", verdict=verdict)


def _prefer(raw: Any, pointer: str, problems: list[Problem], _rule: Any) -> Effect | None:
    if not isinstance(raw, dict) or len(raw) != 1:
        problems.append(Problem(pointer, "is one strength over tests, such as {clearly: {reusable: true}}"))
        return None
    ((strength, tests),) = raw.items()
    if strength not in STRENGTHS:
        problems.append(Problem(join(pointer, strength), not_allowed(strength, STRENGTHS)))
        return None
    found = read_listing_tests(tests, join(pointer, strength), problems)
    return Effect("prefer", tests=found, strength=strength) if found else None


def _step(raw: Any, pointer: str, problems: list[Problem], _rule: Any) -> Effect | None:
    if not isinstance(raw, dict):
        problems.append(Problem(pointer, "must be a map with phase and do"))
        return None
    unknown = [key for key in raw if key not in _STEP_KEYS]
    problems.extend(Problem(join(pointer, key), not_allowed(key, _STEP_KEYS)) for key in unknown)
    if raw.get("phase") not in PHASES:
        problems.append(Problem(join(pointer, "phase"), not_allowed(str(raw.get("phase")), PHASES)))
        return None
    if not isinstance(raw.get("do"), str):
        problems.append(Problem(join(pointer, "do"), "says what to do, in plain words"))
        return None
    value = raw.get("value")
    if value is not None and not isinstance(value, str) and not (isinstance(value, dict) and len(value) == 1):
        problems.append(
            Problem(join(pointer, "value"), "is a quantity such as 6 in, {listing: strip} or {listing: torque}")
        )
    if isinstance(value, dict) and value.get("listing") not in ("strip", "torque"):
        problems.append(Problem(join(pointer, "value"), "only strip and torque stand in a listing"))
    methods = _methods(raw["methods"], join(pointer, "methods"), problems) if "methods" in raw else ()
    return Effect("step", methods=methods, phase=raw["phase"], do=raw["do"], value=value, proves=raw.get("proves"))


_READERS: dict[str, _Reader] = {
    "conclude": _conclude,
    "demand": _demand,
    "bar": _bar,
    "refer": _flagged("refer"),
    "caution": _flagged("caution"),
    "refuse": _refuse,
    "prefer": _prefer,
    "step": _step,
}
