"""The extremes, read from `extremes.yaml`: absurd values of each concern, their sound twins, and what they stand on."""

from __future__ import annotations

import functools
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from splicewright.refusals import Problem
from splicewright.rulebook.comparisons import read_listing_tests
from splicewright.rulebook.model import ListingTest
from splicewright.yaml_text import read_yaml

FILE = Path(__file__).parent / "extremes.yaml"


@dataclass(frozen=True, eq=False)
class Extreme:
    """An absurd value of a concern and its sound one. `options`: what each option has to be listed for, if any."""

    concern: str
    name: str
    absurd: Mapping[str, Any]
    sound: Mapping[str, Any]
    options: tuple[ListingTest, ...]

    def __str__(self) -> str:
        return f"{self.concern}: {self.name}"

    @functools.cached_property
    def leaves(self) -> frozenset[str]:
        """The leaves that it sets itself, so that it is crossed with every other one."""
        return frozenset(leaf for patch in (self.absurd, self.sound) for leaf in _leaves(patch))

    @property
    def each_conductor(self) -> bool:
        """Whether it says of each conductor what it is, so that none may be left out."""
        return any("conductors" in patch for patch in (self.absurd, self.sound))


def _leaves(patch: Mapping[str, Any]) -> set[str]:
    found = {
        f"{part}.{leaf}" for part, leaves in patch.items() if isinstance(leaves, dict) for leaf in leaves
    }  # of `conductors`, a list, each has its own
    return found | {f"conductor.{leaf}" for conductor in patch.get("conductors", ()) for leaf in conductor}


@functools.cache
def bases() -> Mapping[str, Any]:
    """Give the sound questions that extremes are laid over, by name."""
    found: Mapping[str, Any] = read_yaml(FILE.read_bytes()).value["bases"]
    return found


@functools.cache
def extremes() -> tuple[Extreme, ...]:
    """Give all extremes in the order of the file."""
    return tuple(_extreme(extreme) for extreme in read_yaml(FILE.read_bytes()).value["extremes"])


def _extreme(one: Mapping[str, Any]) -> Extreme:
    problems: list[Problem] = []
    tests = read_listing_tests(one["options"], "", problems) if "options" in one else ()
    assert not problems, problems
    return Extreme(one["concern"], one["name"], one["absurd"], one["sound"], tests)
