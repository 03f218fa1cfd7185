"""A value read from text, with the place of each of its parts, so that a problem can be told by its line."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from splicewright.faults import Fault, Faults
from splicewright.json_pointer import join, pointer_parts, value_at
from splicewright.refusals import Problem

if TYPE_CHECKING:
    from collections.abc import Iterable


def _at_start(_pointer: str) -> tuple[int, int]:
    return 1, 1


@dataclass(frozen=True, slots=True)
class Document:
    """A value read from text. `where` gives line and column (from 1) of the part at a pointer, or nearest around it."""

    value: Any
    where: Callable[[str], tuple[int, int]] = _at_start
    file: str = ""  # its name in faults

    def line(self, pointer: str) -> int:
        """Give the line of the part at `pointer`, or of the nearest part around it."""
        return self.where(pointer)[0]

    def column(self, pointer: str) -> int:
        """Give the column of the part at `pointer`, or of the nearest part around it."""
        return self.where(pointer)[1]

    def locate(self, problem: Problem) -> Fault:
        """Give a problem of this document as a fault: its line, the listed part that it is in, by id or name, the key.

        A problem at `/rules/3/when/0`, where the fourth rule is called `buried-is-wet`, becomes
        `environment.yaml:12: buried-is-wet: when/0: …`.
        """
        parts = pointer_parts(problem.pointer)
        listed = value_at(self.value, join("", *parts[:2])) if len(parts) > 1 and parts[1].isdecimal() else None
        name = ""
        if isinstance(listed, dict):
            name, parts = str(listed.get("id", listed.get("name", ""))), parts[2:]
        says = f"{'/'.join(parts)}: {problem.says}" if parts else problem.says
        return Fault(self.file, self.line(problem.pointer), name, says)

    def faults(self, problems: Iterable[Problem]) -> Faults:
        """Give the problems of this document as what is raised for them."""
        return Faults(map(self.locate, problems))


class Place:
    """Where a part of a document begins, its key if it has one, and the places of its own parts."""

    __slots__ = ("column", "line", "parts")

    def __init__(self, line: int, column: int) -> None:
        self.line, self.column = line, column
        self.parts: dict[str | int, Place] | None = None

    def where(self, pointer: str) -> tuple[int, int]:
        """Give line and column of the part at `pointer`, or of the nearest part around it."""
        found = self
        for key in pointer_parts(pointer):
            if not found.parts:
                break
            inner = found.parts.get(key) or (found.parts.get(int(key)) if key.isdecimal() else None)
            if inner is None:
                break
            found = inner
        return found.line, found.column
