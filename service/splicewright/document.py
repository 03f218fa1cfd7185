"""A value that was read from text, with the place of each of its parts; and what files of such text are called."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from splicewright.faults import Fault, Faults
from splicewright.json_pointer import join, pointer_parts, value_at
from splicewright.refusals import Problem, Says

#: How a file is called that is found in a folder, by the name of what is in it.
ENDING = ".yaml"
_ENDINGS = (ENDING, ".yml")


def _at_start(_pointer: str) -> tuple[int, int]:
    return 1, 1


def is_yaml(file: str) -> bool:
    """Tell whether a file is YAML by its name, also where it is called otherwise than in a folder."""
    return file.lower().endswith(_ENDINGS)


def is_file(named: str) -> bool:
    """Tell whether a file is meant and not what is known by a name: it ends like one, or has a folder before it."""
    return is_yaml(named) or "/" in named or "\\" in named


def call_it(path: Path) -> str:
    """Tell of a file in a folder that it has to be called otherwise to be found."""
    return f"nothing reads this file; call it {path.stem}{ENDING}"


@dataclass(frozen=True, slots=True)
class Document:
    """A value read from text. `where` gives line and column (from 1) of the part at a pointer, or nearest around it."""

    value: Any
    where: Callable[[str], tuple[int, int]] = _at_start
    file: str = ""  # its name in faults
    again: Callable[[str], int] | None = None  # the line of a part, read anew: the places of parts take much room
    cut: Callable[[], Iterable[str]] = tuple  # pointers to texts that a comment ends on their line

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
            name = str(listed.get("id", listed.get("name", listed.get("rule", ""))))
            parts = parts[2:] if name else parts
        before = f"{'/'.join(parts)}: " if parts else ""
        says = problem.says.within(before) if isinstance(problem.says, Says) else f"{before}{problem.says}"
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
