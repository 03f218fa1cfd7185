"""A question with its answer, and what was given or assumed in it, read from what was sent and nothing else."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Any

import orjson

from splicewright.catalogue import Connector
from splicewright.question.fact_kinds import fact_kinds
from splicewright.rulebook import Rule

Plain = dict[str, Any]
GROUNDING = ("equipment-grounding", "isolated-grounding", "grounding-electrode", "bonding")
WORKING = ("ungrounded", "grounded", "control")


@dataclass(frozen=True)
class Case:
    """A question as it was sent, its answer, and the rules and connectors that may stand in it."""

    given: Plain
    answer: Plain
    rules: Mapping[str, Rule]
    connectors: Mapping[str, Connector]

    def leaf(self, part: str, name: str) -> Any:
        """Give a word or number of the question, given or assumed; None where it is neither."""
        return self.given.get(part, {}).get(name, self._assumed.get(f"/{part}/{name}"))

    @cached_property
    def _assumed(self) -> Plain:
        return {pointer: filled["value"] for pointer, filled in self.answer["assumed"].items()}

    @cached_property
    def conductors(self) -> list[Plain]:
        """Each conductor with its words, given or assumed; like ones are one, with all of their count."""
        found: dict[bytes, Plain] = {}
        for at, conductor in enumerate(self.given["joint"]["conductors"]):
            start = f"/joint/conductors/{at}/"
            assumed = {key.removeprefix(start): v for key, v in self._assumed.items() if key.startswith(start)}
            whole_one = {**assumed, **conductor}
            if "insulation" in whole_one:
                letters = whole_one["insulation"]
                whole_one["insulation"] = [letters] if isinstance(letters, str) else sorted(letters)
            count = whole_one.pop("count")
            key = orjson.dumps(whole_one, option=orjson.OPT_SORT_KEYS)
            found.setdefault(key, {**whole_one, "count": 0})["count"] += count
        return list(found.values())

    @cached_property
    def roles(self) -> set[str]:
        """The roles that meet in the joint."""
        return {conductor["role"] for conductor in self.conductors}

    @cached_property
    def wet(self) -> bool:
        """Whether the place is wet whatever it is called."""
        exposure, enclosure = self.leaf("place", "exposure"), self.leaf("place", "enclosure")
        outdoors = self.leaf("place", "site") == "outdoors"
        open_raceway = enclosure == "raceway" and outdoors and exposure != "damp"
        return exposure in ("wet", "buried", "submerged") or enclosure == "handhole" or open_raceway

    @cached_property
    def lines(self) -> dict[str, set[str]]:
        """The facts that were given or assumed, printed, by name."""
        found: dict[str, set[str]] = {}
        for name in (name for name, kind in fact_kinds().items() if not kind.reads):
            part, _, leaf = name.partition(".")
            if part != "conductor":
                value = self.leaf(part, leaf)
                if value is not None:
                    found[name] = {f"{name}: {printed(name, value)}"}
        for conductor in self.conductors:
            for leaf, value in conductor.items():
                name = f"conductor.{leaf}"
                found.setdefault(name, set()).add(f"{name}: {printed(name, value)}")
        return found

    def told_by_all(self, name: str) -> bool:
        """Whether a fact has a value: of a conductor, for every one of them."""
        if not name.startswith("conductor."):
            return name in self.lines
        return all(name.partition(".")[2] in conductor for conductor in self.conductors)


def printed(name: str, value: Any) -> str:
    """Write a given value as an answer's proof has it."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, list):
        return " and ".join(sorted(value))
    if isinstance(value, dict):
        return f"{value['value']:g} {value['unit']}"
    unit = {"volts": " V", "amps": " A"}.get(fact_kinds()[name].kind if name in fact_kinds() else "", "")
    return f"{value:g}{unit}" if isinstance(value, int | float) else str(value)
