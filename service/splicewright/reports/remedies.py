"""Remedies in words."""

from __future__ import annotations

import itertools
from collections.abc import Callable, Iterator
from typing import Any

from splicewright.remedies.patch import leaves_written
from splicewright.reports.words import value_text
from splicewright.units import counted

Plain = dict[str, Any]
_METHODS_SHOWN = 4
_NO_PATCH = "a change that what was sent leaves no room for"


def remedy_lines(one: Plain) -> list[str]:
    """Give a remedy in words: what it is, then (of some) its parts."""
    return _REMEDY_LINES[one["kind"]](one)


def _alter_lines(one: Plain) -> list[str]:
    conductors = one.get("conductors", [])
    changes = [
        f"{leaf} → {value_text(value)}"
        for leaf, value in sorted(leaves_written(one.get("patch", ())), key=lambda of: of[0].startswith("conductor."))
        if not (conductors and all(value in words.split() for words in conductors))  # they are so
    ]
    changed = ", ".join(changes) or _NO_PATCH
    whose = f" for {', '.join(conductors)}" if conductors else ""
    told = f"{'; '.join(one['do'])} ({changed}{whose})" if "do" in one else f"{changed}{whose}"
    return [f"{told}: then {', '.join(_with(option) for option in (one['best'], *one.get('then', ())))}"]


def _with(one: Plain) -> str:
    return f"{one['connector']} ({one['method']})"


def _split_lines(one: Plain) -> list[str]:
    joints, jumpers = one["joints"], one["jumpers"]
    first = jumpers[0]
    many = f"{len(jumpers)} jumpers" if len(jumpers) > 1 else "a jumper"
    wire = f"{value_text(first['size'])} {first['construction']} {first['material']}, {value_text(first['length'])}"
    fewest = ", the fewest that will do" if one["proven_fewest"] else ""
    room = (
        f"; {'they ask' if len(jumpers) > 1 else 'it asks'} for no volume in the box" if "box_allowances" in one else ""
    )
    ties = ", ".join(f"{a + 1}-{b + 1}" for a, b in (jumper["between"] for jumper in jumpers))
    made = "pigtails" if one["kind"] == "pigtail" else "a split"
    return [
        f"by {made}: {len(joints)} joints{fewest}, tied by {many} of {wire}",
        "; ".join(_alike_joints(joints)),
        f"jumpers {ties}, counted in both of their joints{room}",
    ]


def _alike_joints(joints: list[Plain]) -> Iterator[str]:
    """Give the joints with their numbers, those that follow each other and are alike told once."""
    numbered = enumerate((f"{joint['takes']} in {_with(joint['best'])}" for joint in joints), start=1)
    for words, alike in itertools.groupby(numbered, key=lambda one: one[1]):
        numbers = [at for at, _ in alike]
        these = f"{numbers[0]}-{numbers[-1]}, each" if len(numbers) > 1 else str(numbers[0])
        yield f"{these}: {words}"


def _connector_lines(one: Plain) -> list[str]:
    asked = [f"{test['attribute']} {_test_text(test['test'])}" for test in one["listing"]]
    methods, more = one["methods"][:_METHODS_SHOWN], len(one["methods"]) - _METHODS_SHOWN
    further = f" and {counted(more, 'method')} more" if more > 0 else ""
    return [
        f"with a connector that is not in this catalogue, and so was not tried: {', '.join(methods)}{further}",
        f"listed for {one['takes']}" + (f", and for {'; '.join(asked)}" if asked else ""),
    ]


def _test_text(test: Plain) -> str:
    return ", ".join(
        f"{operator.replace('-', ' ')} {' or '.join(value_text(value) for value in values)}"
        for operator, values in test.items()
    )


_REMEDY_LINES: dict[str, Callable[[Plain], list[str]]] = {
    "alter": _alter_lines,
    "split": _split_lines,
    "pigtail": _split_lines,
    "connector": _connector_lines,
}
