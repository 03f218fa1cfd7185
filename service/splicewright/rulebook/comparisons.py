"""Comparisons as rule files write them, read into tests: `wet`, `[wet, damp]`, `{at-least: 6 AWG}`, `{below: 24 in}`.

Every reader here appends what is wrong to `problems` (with a pointer into the file) and goes on, so that one run names
every fault.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Mapping
from typing import Any

from splicewright.json_pointer import join
from splicewright.question.fact_kinds import FactKind, fact_kinds
from splicewright.refusals import Problem, Says, not_allowed, shown
from splicewright.rulebook.attributes import ATTRIBUTES
from splicewright.rulebook.model import IF_STATED, FactValue, ListingTest, Pattern, Test
from splicewright.strict_fields import TAG
from splicewright.units import quantity, size, whole

SINGLE_GROUPS = ("joint", "place", "circuit", "work")
ORDERED = ("at-least", "at-most", "above", "below")
_INSTEAD_OF_LIST = "for several words list those that are meant, without an operator"
#: Comparisons as people write them elsewhere.
_SIGN = re.compile(r"\s*(<=|>=|!=|<|>)\s*(.+)")
_SIGNS = {"<=": "at-most", ">=": "at-least", "!=": "other-than", "<": "below", ">": "above"}
_ALL_HOLD = "all patterns must hold; write a rule for each of what may stand for another"
_TOGETHER = {
    **dict.fromkeys(("or", "any", "any-of", "either"), _ALL_HOLD),
    **dict.fromkeys(("and", "all"), "all patterns must hold; list them"),
    **dict.fromkeys(("not", "unless", "except"), "list the words that are meant, or write {other-than: word}"),
}
_NO_TAG = "is no tag: small letters, digits, and hyphens between them"
BARE_NUMBERS = {"volts": "V", "amps": "A"}  # the contract writes these without a unit


def read_when(raw: Any, pointer: str, problems: list[Problem]) -> tuple[Pattern, ...]:
    """Read a rule's `when`: `always`, or a list of patterns that must all hold."""
    if raw == "always":
        return ()
    if not isinstance(raw, list) or not raw:
        as_list = "; write a list, [{…}], or each pattern behind a hyphen" if isinstance(raw, dict) else ""
        problems.append(Problem(pointer, f"must be a list of patterns, or the word always{as_list}"))
        return ()
    found = [_pattern(one, join(pointer, at), problems) for at, one in enumerate(raw)]
    return tuple(pattern for pattern in found if pattern)


def _pattern(raw: Any, pointer: str, problems: list[Problem]) -> Pattern | None:
    groups = (*SINGLE_GROUPS, "conductor", "condition")
    if not isinstance(raw, dict) or len(raw) != 1:
        several = [group for group in raw if group in groups] if isinstance(raw, dict) else []
        apart = f"; write {len(several)} patterns, {' and '.join(several)}" if len(several) > 1 else ""
        problems.append(Problem(pointer, f"a pattern is a map with one key of: {', '.join(groups)}{apart}"))
        return None
    ((group, tests),) = raw.items()
    at = join(pointer, group)
    if group not in groups:
        problems.append(Problem(at, _no_group(group, groups)))
        return None
    if not isinstance(tests, dict) or not tests:
        problems.append(Problem(at, "needs at least one test, such as {exposure: wet}"))
        return None
    if group == "condition":
        return _condition(tests, at, problems)
    found: list[Test] = []
    for leaf, comparison in tests.items():
        name, here = f"{group}.{leaf}", join(at, leaf)
        kind = fact_kinds().get(name)
        if kind is None:
            leaves = [known.partition(".")[2] for known in fact_kinds() if known.startswith(f"{group}.")]
            problems.append(Problem(here, _elsewhere(leaf) or not_allowed(leaf, leaves)))
            continue
        found += [Test(name, operator, values) for operator, values in _comparisons(comparison, kind, here, problems)]
    return Pattern("conductor" if group == "conductor" else "single", tuple(found)) if found else None


def _no_group(group: str, groups: Iterable[str]) -> Says:
    """Tell what to write where people write a fact by its whole name, or how patterns go together."""
    found = not_allowed(group, groups)
    part, _, leaf = group.partition(".")
    if part in groups and leaf:
        return Says(f"{shown(group)} is written {part}: {{{leaf}: …}}", "unknown-word", part)
    if group in _TOGETHER:
        return found.within("", f"; {_TOGETHER[group]}")
    return found


def _elsewhere(leaf: str) -> Says | None:
    """Tell where a fact stands that a pattern asks of another part; None where there is no such fact."""
    groups = [name.partition(".")[0] for name in fact_kinds() if name.partition(".")[2] == leaf]
    if not groups:
        return None
    return Says(f"{shown(leaf)} is a fact of {' and '.join(groups)}; write a pattern of it", "unknown-word", groups[0])


def _condition(tests: Mapping[str, Any], pointer: str, problems: list[Problem]) -> Pattern | None:
    if len(tests) != 1:
        problems.append(Problem(pointer, "a condition pattern has one key; write one pattern for each"))
        return None
    ((key, words),) = tests.items()
    listed = words if isinstance(words, list) else [words]
    if not listed or not all(isinstance(word, str) for word in listed):
        problems.append(
            Problem(join(pointer, key), "a condition is a word or a list of words (absence can't be tested)")
        )
        return None
    return Pattern("condition", (Test(f"condition.{key}", "any-of", tuple(listed)),))


def _comparisons(raw: Any, kind: FactKind, pointer: str, problems: list[Problem]) -> list[tuple[Any, tuple[Any, ...]]]:
    """Give (operator, values) pairs; empty where something is wrong."""
    if isinstance(raw, dict):
        if kind.kind == "words":
            if set(raw) == {"includes"}:
                return _comparisons(raw["includes"], kind, join(pointer, "includes"), problems)
            says = f"{kind.name} is a list; write {{includes: word}}, a word that it includes, or a list of such"
            problems.append(Problem(pointer, says))
            return []
        operators = ("other-than",) if kind.kind in ("word", "flag") else (*ORDERED, "other-than")
        found = []
        if not raw:
            problems.append(Problem(pointer, f"compares with nothing; write a value, or {{{operators[0]}: value}}"))
        for operator, value in raw.items():
            here = join(pointer, operator)
            if operator not in operators:
                problems.append(Problem(here, not_allowed(operator, operators)))
                continue
            if isinstance(value, list):
                problems.append(Problem(here, f"compares with one value; {_INSTEAD_OF_LIST}"))
                continue
            coded = read_value(value, kind, here, problems)
            if coded is not None:
                found.append((operator, (coded,)))
        return found
    listed = raw if isinstance(raw, list) else [raw]
    if not listed:
        problems.append(Problem(pointer, "an empty list allows nothing"))
        return []
    values = [read_value(value, kind, pointer, problems) for value in listed]
    return [] if None in values else [("any-of", tuple(values))]


def read_value(value: Any, kind: FactKind, pointer: str, problems: list[Problem]) -> str | int | bool | None:
    """Read one value of a fact's or attribute's kind into base units. None where it is wrong."""
    says: str
    if kind.kind == "flag":
        if isinstance(value, bool):
            return value
        says = _neither(value)
    elif kind.kind in ("word", "words"):
        if isinstance(value, str) and (TAG.match(value) if kind.open else value in kind.words):
            return value
        says = _no_tag(value) if kind.open else not_allowed(str(value), kind.spoken)
    elif kind.kind == "count":
        if isinstance(value, int) and not isinstance(value, bool):
            return value
        says = f"{shown(value)} is not a whole number"
    else:
        try:
            if kind.kind in BARE_NUMBERS and isinstance(value, int | float) and not isinstance(value, bool):
                return whole(value, BARE_NUMBERS[kind.kind])
            return size(str(value)).area if kind.kind == "size" else quantity(str(value), kind.kind)
        except ValueError as error:
            says = str(error)
    problems.append(Problem(pointer, _signed(value) or says))
    return None


def _signed(value: Any) -> Says | None:
    """Tell how a comparison with a sign, such as `>= 2`, is written here."""
    sign = _SIGN.match(value) if isinstance(value, str) else None
    if sign is None:
        return None
    written = f"{{{_SIGNS[sign[1]]}: {sign[2]}}}"
    return Says(f"{shown(value)} is written {written}", "not-valid", written)


def _neither(value: Any) -> Says:
    meant = {"yes": "true", "on": "true", "true": "true", "no": "false", "off": "false", "false": "false"}
    nearest = meant.get(str(value).lower())
    says = f"{shown(value)} is neither true nor false"
    return Says(f"{says}; write {nearest}, without quotes" if nearest else says, "wrong-type", nearest)


def _no_tag(value: Any) -> Says:
    nearest = str(value).lower().replace(" ", "-").replace("_", "-")
    fits = isinstance(value, str) and TAG.match(nearest)
    says = f"{shown(value)} {_NO_TAG}"
    return Says(f"{says}; write {nearest}" if fits else says, "not-valid", nearest if fits else None)


def read_listing_tests(raw: Any, pointer: str, problems: list[Problem]) -> tuple[ListingTest, ...]:
    """Read what a demand or a preference asks of a connector's listed attributes."""
    if not isinstance(raw, dict) or not raw:
        problems.append(Problem(pointer, "needs at least one test, such as {places: {includes: wet}}"))
        return ()
    found: list[ListingTest] = []
    for attribute, comparison in raw.items():
        here = join(pointer, attribute)
        kind = ATTRIBUTES.get(attribute)
        if kind is None:
            problems.append(
                Problem(here, not_allowed(attribute, ATTRIBUTES).within("no connector has this attribute: "))
            )
            continue
        if isinstance(comparison, dict):
            if not comparison:
                problems.append(Problem(here, "asks nothing; write what it is to be"))
            for operator, value in comparison.items():
                test = _listing_test(kind, operator, value, join(here, operator), problems)
                found += [test] if test else []
        elif kind.kind == "words":
            problems.append(Problem(here, "is a list; write includes, includes-any or includes-all"))
        else:
            found += [
                ListingTest(attribute, op, values) for op, values in _comparisons(comparison, kind, here, problems)
            ]
    return tuple(found)


def _listing_test(
    kind: FactKind, operator: str, value: Any, pointer: str, problems: list[Problem]
) -> ListingTest | None:
    if kind.kind == "words":
        allowed: tuple[str, ...] = ("includes", "includes-any", "includes-all")
    else:
        allowed = ("other-than",) if kind.kind in ("word", "flag") else (*ORDERED, "other-than", IF_STATED)
    if operator not in allowed:
        problems.append(Problem(pointer, not_allowed(operator, allowed)))
        return None
    if isinstance(value, dict):
        return _listing_fact(kind, operator, value, pointer, problems)
    listed = value if isinstance(value, list) else [value]
    if operator in ("includes-any", "includes-all") and not isinstance(value, list):
        problems.append(Problem(pointer, "needs a list of words"))
        return None
    if not listed or (isinstance(value, list) and operator not in ("includes-any", "includes-all")):
        instead = "for several write includes-any or includes-all" if kind.kind == "words" else _INSTEAD_OF_LIST
        says = f"compares with one value; {instead}" if listed else "names nothing"
        problems.append(Problem(pointer, says))
        return None
    coded = [read_value(one, kind, pointer, problems) for one in listed]
    return ListingTest(kind.name, operator, tuple(coded)) if coded and None not in coded else None


def _listing_fact(
    kind: FactKind, operator: str, value: dict[str, Any], pointer: str, problems: list[Problem]
) -> ListingTest | None:
    fact = value.get("fact")
    if set(value) != {"fact"} or not isinstance(fact, str) or fact not in fact_kinds():
        problems.append(Problem(pointer, not_allowed(str(fact), fact_kinds()).within("write {fact: name}; ")))
        return None
    if not _comparable(kind, fact_kinds()[fact]):
        says = f"{fact} is told as {fact_kinds()[fact].kind}, {kind.name} as {kind.kind}; compare like with like"
        problems.append(Problem(pointer, says))
        return None
    return ListingTest(kind.name, operator, (FactValue(fact),))


def _comparable(attribute: FactKind, fact: FactKind) -> bool:
    """Tell whether an attribute may be compared with a fact: words with words, else of one kind."""
    words = ("word", "words")
    return attribute.kind == fact.kind or (attribute.kind in words and fact.kind in words)


def impossible(tests: Iterable[tuple[str, tuple[Any, ...]]]) -> bool:
    """Tell whether no value passes all of some comparisons with a word, a flag or a whole number."""
    least, most = -math.inf, math.inf
    allowed: set[Any] | None = None
    excluded: set[Any] = set()
    for operator, values in tests:
        if operator == "any-of":
            allowed = set(values) if allowed is None else allowed & set(values)
            continue
        value = values[0]
        if isinstance(value, FactValue):
            continue
        if operator == "other-than":
            excluded.add(value)
        elif operator in ("at-least", "above"):
            least = max(least, value + (operator == "above"))
        elif operator in ("at-most", "below"):
            most = min(most, value - (operator == "below"))
    if allowed is None:
        return least > most or (least == most and least in excluded)
    numbers = not any(isinstance(value, str | bool) for value in allowed)
    return not any(value not in excluded and (not numbers or least <= value <= most) for value in allowed)
