"""What a rule does that speaks of a proposed splice: a defect, what a check asks, a tolerance."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from splicewright.json_pointer import join
from splicewright.question.vocabulary import MAKE_UP_FIGURES, METHODS, PROPOSED, SIGNS
from splicewright.refusals import Problem, not_allowed
from splicewright.rulebook.comparisons import read_listing_tests
from splicewright.rulebook.model import Effect, FactValue, ListingTest, Within

#: The words of a proposal that are a figure: the kind of it. `lead_advance` may be true or false as well.
FIGURES = {"strip": "length", "lead_advance": "length", "torque": "torque"}
#: Words for what a proposal may leave open that are not in `said`.
CONNECTOR = "connector"
_WITHIN = re.compile(r"([0-9]{1,4}(?:\.[0-9]{1,4})?) (mm|in|N-m|lbf-in|percent)")
_UNITS = {"length": ("mm", "in", "percent"), "torque": ("N-m", "lbf-in", "percent")}


def read_methods(
    raw: Mapping[str, Any], pointer: str, problems: list[Problem], key: str = "methods"
) -> tuple[str, ...]:
    """Read the methods that an effect is for; none where it is for all."""
    if key not in raw:
        return ()
    at = join(pointer, key)
    listed = raw[key] if isinstance(raw[key], list) else [raw[key]]
    wrong = [str(one) for one in listed if one not in tuple(METHODS)]
    problems.extend(Problem(at, not_allowed(one, METHODS)) for one in wrong)
    if not listed:
        problems.append(Problem(at, "names no method"))
    return () if wrong else tuple(listed)


def read_unless(raw: Mapping[str, Any], pointer: str, problems: list[Problem]) -> tuple[ListingTest, ...]:
    """Read the tests on a listing that excuse from an effect."""
    if "unless" not in raw:
        return ()
    at = join(pointer, "unless")
    tests = read_listing_tests(raw["unless"], at, problems)
    if any(isinstance(value, FactValue) for test in tests for value in test.values):
        problems.append(Problem(at, "compares a listing with words or figures of its own, not with the question"))
    return tests


def read_defect(raw: Any, pointer: str, problems: list[Problem], _rule: Any) -> Effect | None:
    """Read `{sign: …}` or `{said: …}`, with `methods` and `unless`."""
    if not _is_map(raw, ("sign", "said", "methods", "unless"), pointer, problems):
        return None
    if ("sign" in raw) is ("said" in raw):
        problems.append(Problem(pointer, "is written with one of: sign, said"))
        return None
    methods, tests = read_methods(raw, pointer, problems), read_unless(raw, pointer, problems)
    if "sign" in raw:
        if raw["sign"] not in tuple(SIGNS):
            problems.append(Problem(join(pointer, "sign"), not_allowed(str(raw["sign"]), SIGNS)))
        return Effect("defect", sign=str(raw["sign"]), methods=methods, tests=tests)
    said = _said(raw["said"], join(pointer, "said"), problems)
    return Effect("defect", said=said, methods=methods, tests=tests) if said else None


def _said(raw: Any, pointer: str, problems: list[Problem]) -> tuple[str, bool | None] | None:
    word, wanted = next(iter(raw.items())) if isinstance(raw, dict) and len(raw) == 1 else (raw, None)
    if not isinstance(word, str) or word not in PROPOSED:
        problems.append(Problem(pointer, f"is a word, or {{word: true}}: {not_allowed(str(word), PROPOSED)}"))
        return None
    if isinstance(raw, dict) and not (isinstance(wanted, bool) and word not in MAKE_UP_FIGURES):
        says = "is a figure; write the word alone" if word in MAKE_UP_FIGURES else "is written true or false"
        problems.append(Problem(join(pointer, word), says))
        return None
    return word, wanted


def read_ask(raw: Any, pointer: str, problems: list[Problem], _rule: Any) -> Effect | None:
    """Read `{for: …}`, with `methods`."""
    if not _is_map(raw, ("for", "methods"), pointer, problems):
        return None
    words = (CONNECTOR, *PROPOSED)
    if raw.get("for") not in words:
        problems.append(Problem(join(pointer, "for"), not_allowed(str(raw.get("for")), words)))
        return None
    return Effect("ask", asks=raw["for"], methods=read_methods(raw, pointer, problems))


def read_tolerance(raw: Any, pointer: str, problems: list[Problem], _rule: Any) -> Effect | None:
    """Read `{of: strip, within: 1 mm}`, with `methods`."""
    if not _is_map(raw, ("of", "within", "methods"), pointer, problems):
        return None
    of = raw.get("of")
    if of not in tuple(FIGURES):
        problems.append(Problem(join(pointer, "of"), not_allowed(str(of), FIGURES)))
        return None
    units = _UNITS[FIGURES[of]]
    match = _WITHIN.fullmatch(raw["within"]) if isinstance(raw.get("within"), str) else None
    if not match or match[2] not in units:
        says = f"is a number, a space and one of: {', '.join(units)}"
        problems.append(Problem(join(pointer, "within"), says))
        return None
    within = Within(float(match[1]) if "." in match[1] else int(match[1]), match[2])
    return Effect("tolerance", asks=of, within=within, methods=read_methods(raw, pointer, problems))


def _is_map(raw: Any, keys: tuple[str, ...], pointer: str, problems: list[Problem]) -> bool:
    if not isinstance(raw, dict):
        problems.append(Problem(pointer, f"must be a map with some of: {', '.join(keys)}"))
        return False
    problems.extend(Problem(join(pointer, key), not_allowed(key, keys)) for key in raw if key not in keys)
    return True
