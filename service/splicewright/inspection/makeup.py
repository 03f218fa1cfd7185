"""What a proposal says of its make-up against the work steps, the defects and the tolerances of the rules."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from fractions import Fraction
from typing import Any

from splicewright.catalogue import Connector, meets
from splicewright.choice.matching import concerns, excused
from splicewright.choice.telling import MakeUp, with_here
from splicewright.engine import Finding
from splicewright.inspection.listing import ProposalMatch
from splicewright.inspection.model import (
    CONNECTOR,
    SIGNS,
    Compared,
    Judged,
    Point,
    about,
    judged,
    said_proof,
    sign_proof,
)
from splicewright.question.vocabulary import PROVES
from splicewright.rulebook.model import Effect, Within
from splicewright.units import Measured, exact


@dataclass(slots=True)
class ExpectedStep:
    """A work step whose doing is to be shown, and the figure that each connector meant gives for it, or None."""

    step: Finding
    figures: list[Measured | None] = field(default_factory=list)
    by_conductor: list[Mapping[str, Any]] = field(default_factory=list)  # where its conductors differ in it

    @property
    def word(self) -> str:
        """The word of a proposal that says it was done."""
        return PROVES[str(self.step.rule.effect.proves)]

    @property
    def figure(self) -> Measured | None:
        """The figure that it has; None where there is none, or connectors that may be meant differ in it."""
        return self.figures[0] if all(figure == self.figures[0] for figure in self.figures) else None

    @property
    def listed(self) -> bool:
        """Whether the figure comes from the listing."""
        return isinstance(self.step.rule.effect.value, Mapping)


def judged_of(standing: ProposalMatch) -> Judged:
    """Judge all of a proposed splice: what is proposed for the joint, and how it is made up."""
    return judged((*standing.points(), *make_up_points(standing)), standing.check.proposal)


def make_up_points(standing: ProposalMatch) -> Iterator[Point]:
    """Give every point on how the proposed splice is made up."""
    for step in asked_steps(standing):
        yield from _judged(step, standing)
    yield from _defects(standing)
    yield from _asks(standing)


def asked_steps(standing: ProposalMatch) -> list[ExpectedStep]:
    """Give the steps that hold for the connectors meant and prove something, in the order of make-up."""
    derived, joint = standing.derived, standing.match.joint
    made_up = MakeUp(joint, derived.steps)
    steps = {(one.rule.id, one.do): one for one in derived.steps if one.rule.effect.proves}
    found: dict[tuple[str, Any], ExpectedStep] = {}
    for connector in standing.meant:
        for written in made_up.steps(connector):
            key = (written["rule"], written["do"])
            step = steps.get(key)
            if step is not None and not excused(step.rule.effect, connector):
                value = written.get("value")
                figure = Measured(**value) if value else None
                expected = found.setdefault(key, ExpectedStep(step))
                expected.figures.append(figure)
                expected.by_conductor += written.get("by_conductor", ())
    return list(found.values())


def _judged(asked: ExpectedStep, standing: ProposalMatch) -> Iterator[Point]:
    step, word = asked.step, asked.word
    said = standing.check.proposal.said.get(word)
    if said is None:
        yield standing.point("unproven", step, about=about(word))
        return
    proof = said_proof(word, said)
    if not isinstance(said, Measured):
        yield standing.point("confirmed" if said else "violation", step, proof, about=about(word))
    elif asked.figure is not None and asked.by_conductor:
        yield _of_each(asked, said, standing)
    elif asked.figure is not None:
        yield _compared(asked, said, asked.figure, standing)
    elif len(set(asked.figures)) == 1:
        lacks = with_here(step.says, f"{said}; no figure is listed to compare it with")
        yield replace(standing.point("unproven", step, proof, about=about(word)), says=lacks)
    elif standing.possible:  # else none of them would do, and to name one would not help
        lacks = with_here(step.says, f"{said}; the connectors of this method differ in it")
        yield replace(standing.point("unproven", step, proof, about=CONNECTOR), says=lacks)


def _of_each(asked: ExpectedStep, said: Measured, standing: ProposalMatch) -> Point:
    """Judge one figure where each conductor has its own: by that of the largest, whose it is taken for.

    That of another leaves open whether the largest has its own.
    """
    listed = [(Measured(**one["value"]), one["size"], one["material"]) for one in asked.by_conductor if "value" in one]
    told = ", ".join(f"{figure} for {size['value']} {size['unit']} {material}" for figure, size, material in listed)
    first, *others = [_compared(asked, said, figure, standing) for figure in dict.fromkeys(one[0] for one in listed)]
    if first.standing == "violation" and any(point.standing == "confirmed" for point in others):
        first = standing.point("unproven", asked.step, said_proof(asked.word, said), about=about(asked.word))
        told += "; it may be that of another conductor, so say that of the largest"
    return replace(first, says=with_here(asked.step.says, f"{said}; listed: {told}"))


def _compared(asked: ExpectedStep, said: Measured, wanted: Measured, standing: ProposalMatch) -> Point:
    derived, method = standing.derived, standing.check.method
    figure = exact(wanted.value, wanted.unit)
    allowed = [
        (_allowance(tolerance.rule.effect.within, figure), tolerance.rule.id, str(tolerance.rule.effect.within))
        for tolerance in derived.tolerances
        if tolerance.rule.effect.within
        and tolerance.rule.effect.asks == asked.word
        and (not tolerance.rule.effect.methods or method in tolerance.rule.effect.methods)
    ]
    allowance, rule, within = min(allowed, default=(Fraction(0), None, None))
    fits = abs(exact(said.value, said.unit) - figure) <= allowance
    usual = "listed" if asked.listed else "usual"
    more = f", give or take {within}" if within else ""
    compared = Compared(said, wanted, within, rule)
    point = standing.point(
        "confirmed" if fits else "violation",
        asked.step,
        said_proof(asked.word, said),
        about=about(asked.word),
        compared=compared,
    )
    return replace(point, says=with_here(asked.step.says, f"{said}; {wanted} is {usual}{more}"))


def _allowance(within: Within, figure: Fraction) -> Fraction:
    if within.unit == "percent":
        return figure * Fraction(str(within.value)) / 100
    return exact(within.value, within.unit)


def _defects(standing: ProposalMatch) -> Iterator[Point]:
    proposal = standing.check.proposal
    for defect in standing.derived.defects:
        effect = defect.rule.effect
        if not concerns(effect, proposal, standing.check.method):
            continue
        if effect.said:
            word = effect.said[0]
            fact, where = said_proof(word, proposal.said[word]), about(word)
        else:
            fact, where = sign_proof(str(effect.sign)), SIGNS
        pardoned = [excused(effect, connector) for connector in standing.meant]
        perhaps = [_perhaps_excused(effect, connector) for connector in standing.meant]
        if any(perhaps) and not all(pardoned):
            yield standing.point("unproven", defect, fact, about=CONNECTOR)
        elif any(pardoned):
            if all(pardoned):
                yield standing.point("confirmed", defect, fact, about=where)
            else:
                yield standing.point("unproven", defect, fact, about=CONNECTOR)
        else:
            yield standing.point("violation", defect, fact, about=where)


def _perhaps_excused(effect: Effect, connector: Connector) -> bool:
    """Say whether nothing but a listing's silence keeps it from excusing from a defect."""
    failed = [test.attribute for test in effect.tests if not meets(connector, test)]
    return bool(failed) and bool(connector.silent_on(connector.attributes, failed))


def _asks(standing: ProposalMatch) -> Iterator[Point]:
    check = standing.check
    for one in standing.derived.asks:
        word = str(one.rule.effect.asks)
        if concerns(one.rule.effect, check.proposal, check.method):
            if standing.possible or about(word) != CONNECTOR:
                yield standing.point("unproven", one, about=about(word))
        elif word in check.proposal.said and _for(one, check.method):
            yield standing.point("confirmed", one, said_proof(word, check.proposal.said[word]), about=about(word))


def _for(finding: Finding, method: str) -> bool:
    return not finding.rule.effect.methods or method in finding.rule.effect.methods
