"""How a joint stands in a listing: fitting as listed, fitting between two listed ones, or refused, and by how much."""

from __future__ import annotations

import functools
from dataclasses import dataclass
from typing import Any, Literal

Basis = Literal["listed", "bracketed"]
Verdict = Literal[
    "too-many",
    "too-large",
    "too-few",
    "too-small",
    "size-not-taken",
    "construction-not-taken",
    "ports-too-few",
]

#: Refusals, the nearest to fitting first. Those of an over-filled connector stand after those of a mix that
#: is within what it holds: so more or larger conductors never bring a joint from an over-filled verdict back
#: to a milder one.
NEAREST_FIRST: tuple[Verdict, ...] = (
    "size-not-taken",
    "too-small",
    "too-few",
    "too-large",
    "ports-too-few",
    "too-many",
    "construction-not-taken",
)
_MIDWAY = 100
OVER_FILLED: frozenset[Verdict] = frozenset({"too-many", "too-large", "ports-too-few"})


@dataclass(frozen=True, slots=True)
class Fill:
    """How one joint stands in one connector's listing. Either `basis` (it fits) or `verdict` (it does not) is given.

    `by` says by how much it does not. `listing` is the listed combination that it equals, or the ports it
    goes into; `between` are the listed ones below and above a bracketed one. `comfort` is 0 at either edge of
    what is listed and 100 midway, by metal area: of the whole joint between the least and the most listed;
    for ports of each conductor in its port's range, the worst of them counting. `spare_ports` counts the
    ports left empty.
    """

    basis: Basis | None = None
    verdict: Verdict | None = None
    by: str | None = None
    listing: str | None = None
    between: tuple[str, str] | None = None
    comfort: int = 0
    spare_ports: int | None = None

    @property
    def fits(self) -> bool:
        """Whether the connector takes the joint, as listed or bracketed."""
        return self.basis is not None

    @property
    def attributes(self) -> dict[str, Any]:
        """What rules may test of a connector only together with a joint; nothing where it does not take it.

        A port takes any size of its range alike, so joints in ports count as midway.
        """
        if self.basis is None:
            return {}
        in_ports = self.spare_ports is not None
        comfort = _MIDWAY if in_ports else self.comfort
        return {"fill": self.basis, "spare_ports": self.spare_ports or 0, "in_ports": in_ports, "comfort": comfort}

    def to_dict(self) -> dict[str, Any]:
        """Give it as an answer prints it; what does not apply is left out."""
        if self.verdict:
            return {"verdict": self.verdict, "by": self.by}
        written: dict[str, Any] = {"basis": self.basis}
        if self.listing is not None:
            written["listing"] = self.listing
        if self.between is not None:
            written["between"] = list(self.between)
        written["comfort"] = self.comfort
        if self.spare_ports is not None:
            written["spare_ports"] = self.spare_ports
        return written


@functools.lru_cache(maxsize=4096)
def refused(verdict: Verdict, by: str) -> Fill:
    """Give a refusal. The same few are wanted again and again."""
    return Fill(verdict=verdict, by=by)


def best(outcomes: list[Fill]) -> Fill:
    """Give the best outcome: listed, then bracketed, then the nearest refusal; the more comfortable one of two."""
    return outcomes[0] if len(outcomes) == 1 else min(outcomes, key=_rank)


def _rank(fill: Fill) -> tuple[int, int, int]:
    if fill.verdict:
        return (2, NEAREST_FIRST.index(fill.verdict), 0)
    return (0 if fill.basis == "listed" else 1, -fill.comfort, 0)


def comfort(value: int, least: int, most: int) -> int:
    """Give how far `value` lies from the nearer edge, 0 (at an edge) to 100 (midway)."""
    return 200 * min(value - least, most - value) // (most - least) if most > least else 0
