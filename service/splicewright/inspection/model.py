"""What a check finds: points that speak against a proposal, that it leaves open, or that it bears out."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Any, Literal

from splicewright.answering.finding_json import Proof
from splicewright.json_pointer import join
from splicewright.question.facts import fact_line
from splicewright.question.proposal import Proposal, Said, said_plain
from splicewright.units import Measured

Verdict = Literal["sound", "unsound", "unproven"]
Standing = Literal["violation", "unproven", "confirmed"]
#: What a point is about where a proposal leaves its connector open.
CONNECTOR = "/proposal/connector"
SIGNS = "/proposal/signs"


def about(word: str) -> str:
    """Give the pointer to a word of a proposal."""
    return join("/proposal", word)


def said_proof(word: str, said: Said) -> Proof:
    """Give what a proposal says as something that a point rests on: `proposal.tugged: no`."""
    told = str(said) if isinstance(said, Measured) else "yes" if said else "no"
    return Proof(f"proposal.{word}", told, (about(word),))


def sign_proof(sign: str) -> Proof:
    """Give a sign as something that a point rests on."""
    return Proof("proposal.signs", sign, (SIGNS,))


@dataclass(frozen=True, slots=True)
class Compared:
    """A figure that was said, the one that is wanted, and how far off it may be by which rule (None: not at all)."""

    said: Said
    wanted: Said
    within: str | None
    rule: str | None

    def to_dict(self) -> dict[str, Any]:
        """Give it as an answer prints it."""
        written = {"said": said_plain(self.said), "wanted": said_plain(self.wanted)}
        return {**written, "within": self.within, "tolerance": self.rule} if self.rule else written


@dataclass(frozen=True, slots=True)
class Point:
    """One thing that a rule says of a proposal.

    `at` are marked pointers into the question (see `finding_json`) to what it rests on. `about` points into the check
    to what of the proposal it is about; empty where it is the joint itself. `connectors` are those that a reason holds
    for, where only the method is proposed.
    """

    standing: Standing
    rule: str
    says: str
    rests_on: tuple[Proof, ...] = ()
    at: tuple[str, ...] = ()
    about: str = ""
    compared: Compared | None = None
    how: str | None = None
    connectors: tuple[str, ...] = ()

    @property
    def rules(self) -> tuple[str, ...]:
        """The rules that it cites."""
        further = self.compared.rule if self.compared else None
        return (self.rule, further) if further else (self.rule,)


@dataclass(frozen=True, slots=True)
class Judged:
    """All points of one check, each list in the order of rule ids, and what was said but not judged."""

    points: tuple[Point, ...]
    unjudged: tuple[tuple[str, str], ...] = ()  # pointer, and the line of what was said

    def of(self, standing: Standing) -> list[Point]:
        """Give the points of one standing."""
        return [point for point in self.points if point.standing == standing]

    @property
    def verdict(self) -> Verdict:
        """`unsound` where anything speaks against it, else `unproven` where anything is open, else `sound`."""
        if self.of("violation"):
            return "unsound"
        return "unproven" if self.of("unproven") else "sound"


def judged(points: Iterable[Point], proposal: Proposal) -> Judged:
    """Put points in order, those alike together, and find what no rule spoke of: told, but judged by nothing."""
    together: dict[tuple[str, ...], Point] = {}
    for point in points:
        key = (point.standing, point.rule, point.says, point.about)
        known = together.get(key)
        rests_on = point.rests_on if known is None else (*known.rests_on, *point.rests_on)
        at = point.at if known is None else (*known.at, *point.at)
        together[key] = replace(point, rests_on=tuple(sorted(set(rests_on))), at=tuple(dict.fromkeys(at)))
    found = sorted(together.values(), key=lambda one: (one.rule, one.says, one.about))
    spoken = {proof for one in found for proof in one.rests_on}
    told = [said_proof(word, said) for word, said in proposal.said.items() if said is not False]
    told += map(sign_proof, proposal.signs)
    return Judged(
        tuple(found), tuple((proof.at[0], fact_line(proof.fact, proof.told)) for proof in told if proof not in spoken)
    )
