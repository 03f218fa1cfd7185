"""A remedy as a patch of what was sent (RFC 6902): the fewest words changed there that make it the changed question.

What a patch leads to is read again before it is told: a patch that would not lead there is not told at all.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from splicewright.json_pointer import join, pointer_parts
from splicewright.question.leaf import Leaf, leaves_of
from splicewright.question.model import Conductor, Question, as_plain
from splicewright.question.read import ParsedQuestion, Sent, so_many
from splicewright.refusals import Refused
from splicewright.strict_fields import Words

Plain = dict[str, Any]
_PARTS = ("joint", "place", "circuit", "work")
_CONDUCTORS = "/joint/conductors"


@dataclass(frozen=True, slots=True)
class Target:
    """The question that what was sent is to become.

    `became` is what each conductor of the question asked became, in their order; without it conductors were taken away
    and added.
    """

    question: Question
    became: tuple[Conductor, ...] = ()


def patch(asked: ParsedQuestion, target: Target, within: str = "") -> list[Plain] | None:
    """Give the operations, `{op, path, value}`, that make what was sent the target when it is read again.

    What is not named stays as it was sent. `within` leads to what was sent, where that is part of something larger.
    None where no patch does that.
    """
    assert asked.sent is not None
    edits = _Edits(asked.sent)
    try:
        if target.became:
            read, entering = asked, _became(asked, target)
            edits.rename(asked.entering, entering)
        else:
            entering = edits.divide(asked, target.question)
            read = edits.read(asked)
        # What follows other leaves where it is not sent is written only where it then does not follow as it should.
        for depends in (False, True):
            for pointer, leaf, value in _differing(read, entering, target.question, depends=depends):
                edits.put(pointer, leaf, value)
            read = edits.read(read)
    except Refused:
        return None
    if read.question != target.question:
        return None
    return [{**operation, "path": within + operation["path"]} for operation in edits.operations]


def leaves_written(operations: Iterable[Plain]) -> list[tuple[str, Any]]:
    """Give what a patch writes, each once: `place.enclosure` with its value, `conductor.insulation` of whichever.

    What else stands for conductors (`pigtails`) goes with them, and is not told.
    """
    found: dict[str, tuple[str, Any]] = {}
    for operation in operations:
        *above, last = pointer_parts(operation["path"])
        leaves = operation["value"]
        if last not in _PARTS:
            leaves, last = {last: leaves}, above[-2].removesuffix("s") if above[-1].isdecimal() else above[-1]
        if last == "pigtail":
            continue
        for leaf, value in leaves.items():
            found.setdefault(f"{last}.{leaf} {value}", (f"{last}.{leaf}", value))
    return list(found.values())


def _became(asked: ParsedQuestion, target: Target) -> list[Conductor]:
    """Give what each conductor as sent is to become; like ones are one in the question asked."""
    each = zip(asked.question.joint.conductors, target.became, strict=True)
    became = {so_many(before, 1): after for before, after in each}
    return [so_many(became[so_many(one, 1)], one.count) for one in asked.entering]


def _differing(
    read: ParsedQuestion, entering: Sequence[Conductor], wanted: Question, *, depends: bool
) -> Iterator[tuple[str, Leaf, Any]]:
    """Give the leaves that are not as wanted, each with the pointer to its part: those that depend on others, or not.

    A question holds a list as a tuple; its conductors are compared in the order in which they were sent.
    """
    pairs: list[tuple[str, Any, Any]] = [
        (f"/{name}", getattr(read.question, name), getattr(wanted, name)) for name in _PARTS
    ]
    conductors = zip(read.entering, entering, strict=True)
    pairs += [(join(_CONDUCTORS, at), own, becomes) for at, (own, becomes) in enumerate(conductors)]
    for pointer, own, becomes in [pair for pair in pairs if pair[1] != pair[2]]:
        kind: type = type(own)
        for name, leaf in leaves_of(kind).items():
            value = getattr(becomes, name)
            if leaf.depends == depends and leaf.field.kind != "list" and getattr(own, name) != value:
                yield pointer, leaf, value


class _Edits:
    """What was sent as it is changed, step by step, with the operations that do so. What was sent itself stays."""

    def __init__(self, sent: Sent) -> None:
        self._sent = sent
        self._added: dict[str, Plain] = {}  # parts that were not sent
        self._root: Any = sent.root
        self._known = 0  # operations that were there when it was read
        self.operations: list[Plain] = []

    def read(self, before: ParsedQuestion) -> ParsedQuestion:
        """Read the question anew if anything was changed since it was read `before`. Raises `Refused`."""
        if len(self.operations) == self._known:
            return before
        self._known = len(self.operations)
        return self._sent.again(self._root)

    def put(self, part: str, leaf: Leaf, value: Any) -> None:
        """Write a leaf of a part of the question, and in the root where that says it too."""
        pointer = self._sent.pointer + part
        if join(part, leaf.name) in self._sent.of_root:
            self._put(part, leaf, value)
            if leaf.name not in (_at(self._root, pointer) or ()):
                return
        self._put(pointer, leaf, value)

    def rename(self, before: Sequence[Conductor], after: Sequence[Conductor]) -> None:
        """Change what stands for conductors of the question with them, where all that it may mean become alike."""
        leaves = leaves_of(Conductor)
        for pointer, *names in self._sent.named:
            alike = [at for at, one in enumerate(before) if [one.size, one.role, one.material] == names]
            for name in ("size", "material"):
                old, new = ({getattr(conductors[at], name) for at in alike} for conductors in (before, after))
                if old != new and len(new) == 1:
                    self._put(pointer, leaves[name], *new)

    def _put(self, part: str, leaf: Leaf, value: Any) -> None:
        held = _at(self._root, part)
        written = _written(leaf, value, held.get(leaf.name) if isinstance(held, Mapping) else None)
        if part in self._added:
            self._added[part][leaf.name] = written
        elif isinstance(held, Mapping):
            self._operate("replace" if leaf.name in held else "add", join(part, leaf.name), written)
        else:
            self._added[part] = {leaf.name: written}
            self._operate("add" if held is None else "replace", part, self._added[part])

    def _operate(self, op: str, pointer: str, value: Any) -> None:
        self.operations.append({"op": op, "path": pointer, "value": value})
        self._root = _with(self._root, pointer_parts(pointer), value)

    def divide(self, asked: ParsedQuestion, wanted: Question) -> list[Conductor]:
        """Take away conductors that the wanted joint does not have, and add those that it has more; give all of it."""
        pointer = self._sent.pointer + _CONDUCTORS
        left = {so_many(one, 1): one.count for one in wanted.joint.conductors}
        counts = []
        for one in asked.entering:
            kind = so_many(one, 1)
            counts.append(min(one.count, left.get(kind, 0)))
            left[kind] = left.get(kind, 0) - counts[-1]
        for at, one in enumerate(asked.entering):
            # Jumpers like a conductor that stays are more of it.
            counts[at] += left.pop(so_many(one, 1), 0) if counts[at] else 0
            if counts[at] not in (0, one.count):
                op = "replace" if "count" in _at(self._root, join(pointer, at)) else "add"
                self._operate(op, join(pointer, at, "count"), counts[at])
        kept = list(_at(self._root, pointer))
        for at in reversed([at for at, count in enumerate(counts) if not count]):
            self.operations.append({"op": "remove", "path": join(pointer, at)})
            del kept[at]
        entering = [so_many(one, count) for one, count in zip(asked.entering, counts, strict=True) if count]
        more = [so_many(kind, count) for kind, count in left.items() if count]
        for one in more:
            kept.append(_new(one))
            self.operations.append({"op": "add", "path": join(pointer, "-"), "value": kept[-1]})
        self._root = _with(self._root, pointer_parts(pointer), kept)
        return [*entering, *more]


def _new(conductor: Conductor) -> Plain:
    """Write a conductor that was not sent, without what would be assumed of it; of its metal nothing always may be."""
    leaves, plain = leaves_of(Conductor), as_plain(conductor)
    said = {
        name: plain[name]
        for name, leaf in leaves.items()
        if not leaf.depends and (name == "material" or plain.get(name) != leaf.default)
    }
    for name, leaf in leaves.items():
        if leaf.depends and plain[name] != leaf.default({**said, "size": conductor.size}):
            said[name] = plain[name]
    return {name: _written(leaves[name], getattr(conductor, name), None) for name in said}


def _written(leaf: Leaf, value: Any, sent: Any) -> Any:
    """Write a leaf's value as a caller would: one word that may stand for a list of one stands so, if no list was."""
    plain = as_plain(value)
    single = isinstance(leaf.field, Words) and leaf.field.single and len(plain) == 1 and not isinstance(sent, list)
    return plain[0] if single else plain


def _at(value: Any, pointer: str) -> Any:
    for key in pointer_parts(pointer):
        if isinstance(value, Mapping):
            value = value.get(key)
        elif value is not None:
            value = value[int(key)]
    return value


def _with(value: Any, parts: Sequence[str], new: Any) -> Any:
    """Give a value with another one in it. Only what leads there is made anew."""
    if not parts:
        return new
    key, *rest = parts
    if isinstance(value, Mapping):
        return {**value, key: _with(value.get(key), rest, new)}
    at = int(key)
    return [*value[:at], _with(value[at], rest, new), *value[at + 1 :]]
