"""What must hold for every remedy: asked again as it is printed, it leads to what it says, and changes nothing else."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from typing import Any

import orjson

from splicewright.answering import Chooser
from splicewright.reports.words import size_text
from splicewright.units import size
from tests.choice.case import Case, Plain
from tests.remedies.changes import change

KINDS = {"alter", "split", "pigtail", "connector"}


def remedies(chooser: Chooser, case: Case) -> Iterator[str]:
    """Ask about every remedy and check what comes of it."""
    for remedy in case.answer["remedies"]:
        kind = remedy["kind"]
        if kind not in KINDS or remedy["outcome"] != "options":
            yield f"is a remedy of kind {kind} that leads to {remedy['outcome']}"
        elif kind == "alter":
            yield from _alteration(chooser, case, remedy)
        elif kind == "connector":
            yield from _connector(case, remedy)
        else:
            yield from _split(chooser, case, remedy)


def _first(answer: Plain) -> Plain:
    return {key: answer["options"][0][key] for key in ("connector", "method")} if answer["options"] else {}


def _named(chooser: Chooser, told: Plain) -> Plain:
    """Give what is told of a connector, but for its name where that is the catalogue's."""
    known = chooser.catalogue("shop").connector(told["connector"]).name
    return {key: value for key, value in told.items() if (key, value) != ("name", known)}


def _alteration(chooser: Chooser, case: Case, remedy: Plain) -> Iterator[str]:
    answer = chooser.choose(remedy["question"])
    first, written = _named(chooser, remedy["best"]), change(remedy)
    if answer["outcome"] != "options" or _first(answer) != first:
        yield f"its remedy {written} does not lead to options with {first} first"
    if answer["assumed"].keys() - {"/limit", "/explain"}:
        yield f"its remedy {written} leaves {sorted(answer['assumed'])} unsaid"
    for part in ("place", "circuit", "work"):
        for leaf, value in remedy["question"][part].items():
            # Volts that were not stated have their default where the kind is no low-voltage one any more.
            by_default = (part, leaf) == ("circuit", "volts") and "circuit" in written
            if not _same(value, case.leaf(part, leaf)) and leaf not in written.get(part, {}) and not by_default:
                yield f"its remedy {written} changes {part}.{leaf} to {value}"
    kept = {"role", "circuit", "path", "count"}
    if _counted(case.conductors, kept) != _counted(remedy["question"]["joint"]["conductors"], kept):
        yield f"its remedy {written} changes what its conductors are for"


def _connector(case: Case, remedy: Plain) -> Iterator[str]:
    if case.answer["outcome"] != "no-connector" or not remedy["methods"]:
        yield "asks for another connector where none would do"
    barred = {method for bar in case.answer["method_bars"] for method in bar["methods"]}
    if barred & set(remedy["methods"]):
        yield f"asks for a connector of a method that is barred: {sorted(barred & set(remedy['methods']))}"


def _split(chooser: Chooser, case: Case, remedy: Plain) -> Iterator[str]:
    questions, jumpers = remedy["questions"], _jumpers(remedy)
    for question, told in zip(questions, remedy["joints"], strict=True):
        answer = chooser.choose(question)
        if answer["outcome"] != "options" or _first(answer) != _named(chooser, told["best"]):
            yield f"a joint of its split is answered {answer['outcome']}, not {told}: {question['joint']}"
        for part in ("place", "circuit", "work"):
            if not all(_same(value, case.leaf(part, leaf)) for leaf, value in question[part].items()):
                yield f"a joint of its split is made in another {part}"
    if not tied(len(questions), [tuple(jumper["between"]) for jumper in jumpers]):
        yield f"its jumpers do not tie {len(questions)} joints into one: {jumpers}"
    every = {leaf for conductor in case.conductors for leaf in conductor}
    ends: Counter[bytes] = Counter()
    for jumper in jumpers:
        ends.update(_counted([{"end": "plain", "condition": "sound", "path": "ends", **jumper, "count": 2}], every))
    entering: Counter[bytes] = Counter()
    for question in questions:
        entering.update(_counted(question["joint"]["conductors"], every))
    if entering != _counted(case.conductors, every) + ends:
        yield "its split has other conductors than the joint and its jumpers"
    yield from _sizes(case, remedy)


def _jumpers(remedy: Plain) -> list[Plain]:
    """Give the jumpers with their size as a question has it."""
    return [{**jumper, "size": size_text(jumper["size"])} for jumper in remedy["jumpers"]]


def _sizes(case: Case, remedy: Plain) -> Iterator[str]:
    """Check that each jumper is as large as all conductors on one of its sides, and that a smaller one has a device."""
    largest = max(size(conductor["size"]) for conductor in case.conductors)
    jumpers = _jumpers(remedy)
    for one in jumpers:
        if size(one["size"]) < largest and case.leaf("circuit", "overcurrent_amps") is None:
            yield f"its jumper of {one['size']} is smaller than {largest}, and no device is known"
    jumper = size(jumpers[0]["size"])
    with_larger = [
        question
        for question in remedy["questions"]
        if any(size(conductor["size"]) > jumper for conductor in question["joint"]["conductors"])
    ]
    if len(with_larger) > 1:
        yield f"its jumper of {jumper} stands between larger conductors"


def tied(joints: int, pairs: list[tuple[int, ...]]) -> bool:
    """Say whether so many joints are tied into one, with no jumper to spare."""
    reached = {0}
    while more := {at for pair in pairs if reached & set(pair) for at in pair} - reached:
        reached |= more
    return reached == set(range(joints)) and len(pairs) == joints - 1 and all(a != b for a, b in pairs)


def _same(one: Any, other: Any) -> bool:
    return bool((sorted(one) == sorted(other)) if isinstance(one, list) else one == other)


def _counted(conductors: list[Plain], leaves: set[str]) -> Counter[bytes]:
    found: Counter[bytes] = Counter()
    for conductor in conductors:
        key = orjson.dumps({leaf: conductor[leaf] for leaf in sorted(leaves - {"count"}) if leaf in conductor})
        found[key] += conductor.get("count", 1)
    return found
