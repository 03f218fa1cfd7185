"""A finding: what a check tells about one place in one file."""

from __future__ import annotations

import hashlib
import json
import re
from dataclasses import dataclass
from typing import Any, Literal

from splicewright.sheets.table import Spot

Level = Literal["error", "warning", "note"]
State = Literal["new", "known", "waived"]
#: From the gravest down.
LEVELS: tuple[Level, ...] = ("error", "warning", "note")

#: Rules of the check itself, beside those of the rulesets: what each finding under them says.
OWN_RULES = {
    "input/read-as": "A word, size or quantity is written in another way than a question writes it.",
    "input/invalid": "A part of the file is not what it has to be.",
    "input/unreadable": "A file can't be read.",
    "input/unrecognized": "A file or entry is no question, check, box, job or table of joints.",
    "answer/no-connector": "No connector of the catalogue may make the joint.",
    "box/too-small": "A box does not hold what is in it.",
    "box/falls-short": "What is said of a box contradicts itself, or falls short of what is asked.",
    "box/handed-over": "What is in a box is not covered by this reckoning.",
    "waiver/expired": "A waiver's last day is over.",
    "waiver/not-needed": "A waiver waives nothing.",
    "waiver/not-allowed": "A waiver names what may not be waived.",
    "baseline/stale": "The baseline holds a finding that is no longer there.",
}


@dataclass(frozen=True, slots=True)
class Judgement:
    """What is found about an entry, before it is known where the entry stands."""

    level: Level
    rule: str
    says: str
    pointer: str = ""  # into the entry
    hint: str | None = None  # what would do instead, where that was tried
    waivable: bool = True


@dataclass(frozen=True, slots=True)
class AuditFinding:
    """A judgement with its place. `state` tells whether it counts: only `new` ones do."""

    level: Level
    rule: str
    says: str
    file: str
    spot: Spot
    pointer: str
    joint: str | None
    fingerprint: str
    hint: str | None = None
    state: State = "new"
    reason: str | None = None  # the waiver's

    @property
    def counts(self) -> bool:
        """Whether it is neither in the baseline nor waived."""
        return self.state == "new"

    @property
    def order(self) -> tuple[Any, ...]:
        """Where it stands in a report: by file, then place, then gravity."""
        spot = self.spot
        return (
            self.file, spot.sheet or "", spot.line, spot.column or 0, LEVELS.index(self.level), self.rule, self.pointer,
            self.says,
        )  # fmt: skip


def at_least(level: Level, least: str) -> bool:
    """Tell whether `level` is as grave as `least`, a level or `never`."""
    return least != "never" and LEVELS.index(level) <= LEVELS.index(least)


def fingerprint(file: str, entry: str, judged: Judgement, given: Any) -> str:
    """Give what a finding is known by again when lines, rows and conductors move or sentences are reworded.

    `entry` tells the entry apart by itself (its id, or a digest of it), `given` is the value the judgement points to.
    """
    parts: list[Any] = [1, file, entry, judged.rule]
    if judged.rule.startswith("input/"):
        parts += [re.sub(r"/[0-9]+(?=/|$)", "/*", judged.pointer), given]
    return hashlib.sha256(canonical(parts)).hexdigest()[:32]


def canonical(value: Any) -> bytes:
    """Give plain data as bytes that depend on nothing but its meaning."""
    return json.dumps(value, sort_keys=True, separators=(",", ":"), default=str).encode("utf-8", "backslashreplace")


def digest(value: Any) -> str:
    """Give a short digest of plain data."""
    return hashlib.sha256(canonical(value)).hexdigest()[:16]
