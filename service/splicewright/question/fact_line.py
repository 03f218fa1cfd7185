"""A fact as it is told: `place.exposure: buried`. What a finding rests on are such lines, and ids of rules."""

from __future__ import annotations

from typing import NamedTuple

_BETWEEN = ": "


class FactLine(NamedTuple):
    """The name of a fact and its value in words."""

    name: str
    told: str

    @classmethod
    def read(cls, line: str) -> FactLine | None:
        """Read a line that a finding rests on; None where it is the id of a rule."""
        name, between, told = line.partition(_BETWEEN)
        return cls(name, told) if between else None


def fact_line(name: str, told: object) -> str:
    """Write a fact as a line."""
    return f"{name}{_BETWEEN}{told}"


def told_of(name: str, line: str) -> str:
    """Give the value in words that a line has for a fact of this name; empty for an empty line."""
    return line[len(name) + len(_BETWEEN) :]
