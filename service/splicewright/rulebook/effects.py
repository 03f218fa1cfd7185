"""What a rule does, read from its one effect key."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from typing import Any

from splicewright.json_pointer import join
from splicewright.question.changes import Change, read_change
from splicewright.question.vocabulary import MAKE_UP_FIGURES, METHODS, PHASES, PROVES
from splicewright.refusals import Problem, Refused, Says, not_allowed
from splicewright.rulebook.attributes import ATTRIBUTES
from splicewright.rulebook.comparisons import read_listing_tests
from splicewright.rulebook.model import Effect, Kind
from splicewright.rulebook.proposals import read_ask, read_defect, read_methods, read_tolerance, read_unless
from splicewright.rulebook.schema import has_words

#: What speaks of a proposed splice only: a defect, what a check asks, how far a figure may be off.
OF_PROPOSALS: tuple[Kind, ...] = ("defect", "ask", "tolerance")
EFFECTS = ("conclude", "demand", "bar", "refer", "refuse", "prefer", "step", "caution", *OF_PROPOSALS)
VERDICTS = (
    "too-few", "too-small", "too-many", "too-large", "size-not-taken", "construction-not-taken", "ports-too-few",
)  # fmt: skip
STRENGTHS = ("strongly", "clearly", "slightly")
_WORD = re.compile(r"[a-z][a-z0-9]*([-_][a-z0-9]+)*\Z")
_STEP_KEYS = ("phase", "methods", "do", "value", "proves", "unless")


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
    remedies = _remedies(rule.get("remedies", []), join(pointer.rpartition("/")[0], "remedies"), problems)
    if raw == "joint":
        return Effect("bar", remedies=remedies)
    if isinstance(raw, dict) and set(raw) == {"method"}:
        methods = read_methods(raw, pointer, problems, key="method")
        return Effect("bar", methods=methods, remedies=remedies) if methods else None
    problems.append(Problem(pointer, _no_bar(raw)))
    return None


def _no_bar(raw: Any) -> str:
    says = "bars the joint or {method: [...]}"
    if isinstance(raw, str) and raw in tuple(METHODS):
        return Says(f"{says}; write {{method: {raw}}}", "not-valid", f"{{method: {raw}}}")
    wrong = [key for key in raw if key != "method"] if isinstance(raw, dict) else []
    return not_allowed(wrong[0], ["method"]).within(f"{says}: ") if wrong else says


def _remedies(raw: Any, pointer: str, problems: list[Problem]) -> tuple[Change, ...]:
    if not isinstance(raw, list) or not all(isinstance(one, dict) for one in raw):
        problems.append(Problem(pointer, "must be a list of small changes"))
        return ()
    found = []
    for at, one in enumerate(raw):
        try:
            found.append(read_change(one))
        except Refused as error:
            inside = join(pointer, at)
            problems.extend(Problem(inside + problem.pointer, problem.says) for problem in error.problems)
    return tuple(found)


def _flagged(kind: Kind) -> _Reader:
    def read(raw: Any, pointer: str, problems: list[Problem], _rule: Any) -> Effect | None:
        if raw is not True:
            problems.append(Problem(pointer, "is written true"))
            return None
        return Effect(kind)

    return read


def _refuse(raw: Any, pointer: str, problems: list[Problem], rule: Mapping[str, Any]) -> Effect | None:
    if not isinstance(raw, dict) or set(raw) != {"fill"}:
        says = (
            "words a verdict of fill, such as {fill: too-few}; what keeps a method out is written bar: {method: [...]}"
        )
        problems.append(Problem(pointer, says))
        return None
    verdict = raw["fill"]
    if verdict not in VERDICTS:
        problems.append(Problem(join(pointer, "fill"), not_allowed(str(verdict), VERDICTS)))
        return None
    if rule.get("when") != "always":
        problems.append(Problem(pointer, "words for a verdict of fill hold always; write when: always"))
    return Effect("refuse", verdict=verdict)


def _prefer(raw: Any, pointer: str, problems: list[Problem], _rule: Any) -> Effect | None:
    if not isinstance(raw, dict) or len(raw) != 1:
        problems.append(Problem(pointer, "is one strength over tests, such as {clearly: {reusable: true}}"))
        return None
    ((strength, tests),) = raw.items()
    if strength in ATTRIBUTES:
        written = f"{{{STRENGTHS[1]}: {{{strength}: …}}}}"
        says = f"is what a connector has; say before it how strongly: {', '.join(STRENGTHS)}, such as {written}"
        problems.append(Problem(join(pointer, strength), Says(says, "not-valid", written)))
        return None
    if strength not in STRENGTHS:
        problems.append(Problem(join(pointer, strength), not_allowed(strength, STRENGTHS)))
        return None
    found = read_listing_tests(tests, join(pointer, strength), problems)
    return Effect("prefer", tests=found, strength=strength) if found else None


def _listed_figure(value: dict[str, Any], pointer: str, problems: list[Problem]) -> None:
    """Read what figure of a listing a step has, and by which methods it is one for all conductors of a joint."""
    keys = ("listing", "one_for_all")
    problems.extend(Problem(join(pointer, key), not_allowed(key, keys)) for key in value if key not in keys)
    if value.get("listing") not in MAKE_UP_FIGURES:
        problems.append(Problem(pointer, "only strip and torque stand in a listing"))
    read_methods(value, pointer, problems, key="one_for_all")


def _step(raw: Any, pointer: str, problems: list[Problem], _rule: Any) -> Effect | None:
    if not isinstance(raw, dict):
        problems.append(Problem(pointer, "must be a map with phase and do"))
        return None
    unknown = [key for key in raw if key not in _STEP_KEYS]
    problems.extend(Problem(join(pointer, key), not_allowed(key, _STEP_KEYS)) for key in unknown)
    if raw.get("phase") not in PHASES:
        problems.append(Problem(join(pointer, "phase"), not_allowed(str(raw.get("phase")), PHASES)))
        return None
    if not isinstance(raw.get("do"), str) or not has_words(raw["do"]):
        problems.append(Problem(join(pointer, "do"), "says what to do, in plain words"))
        return None
    value = raw.get("value")
    if isinstance(value, dict):
        _listed_figure(value, join(pointer, "value"), problems)
    elif value is not None and not (isinstance(value, str) and has_words(value)):
        says = "is a quantity such as 6 in, {listing: strip} or {listing: torque}"
        problems.append(Problem(join(pointer, "value"), says))
    proves = raw.get("proves")
    if proves is not None and proves not in tuple(PROVES):
        problems.append(Problem(join(pointer, "proves"), not_allowed(str(proves), PROVES)))
    if "unless" in raw and proves is None:
        problems.append(Problem(join(pointer, "unless"), "excuses from proving a step; write proves too"))
    return Effect(
        "step",
        methods=read_methods(raw, pointer, problems),
        phase=raw["phase"],
        do=raw["do"],
        value=value,
        proves=proves,
        tests=read_unless(raw, pointer, problems),
    )


_READERS: dict[str, _Reader] = {
    "conclude": _conclude,
    "demand": _demand,
    "bar": _bar,
    "refer": _flagged("refer"),
    "caution": _flagged("caution"),
    "refuse": _refuse,
    "prefer": _prefer,
    "step": _step,
    "defect": read_defect,
    "ask": read_ask,
    "tolerance": read_tolerance,
}
