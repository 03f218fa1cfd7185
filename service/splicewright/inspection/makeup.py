"""What a proposal says of its make-up against the work steps, the defects and the tolerances of the rules."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Any

from splicewright.choice.makeup import MakeUp, concerns, excused
from splicewright.choice.reasons import with_here
from splicewright.engine import Finding, FindingSet
from splicewright.inspection.listing import ProposalMatch
from splicewright.inspection.model import CONNECTOR, SIGNS, Compared, Point, about, said_line, sign_line
from splicewright.question.vocabulary import PROVES
from splicewright.rulebook.model import Within
from splicewright.units import Measured, exact


@dataclass(slots=True)
class ExpectedStep:
    """A work step whose doing is to be shown, and the figure that each connector meant gives for it, or None."""

    step: Finding
    figures: list[Measured | None] = field(default_factory=list)

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
                found.setdefault(key, ExpectedStep(step)).figures.append(figure)
    return list(found.values())


def _judged(asked: ExpectedStep, standing: ProposalMatch) -> Iterator[Point]:
    rule, says, word = asked.step.rule.id, asked.step.says, asked.word
    rests_on, said = asked.step.rests_on, standing.check.proposal.said.get(word)
    if said is None:
        yield Point("unproven", rule, says, rests_on, about(word))
        return
    rests_on = (*rests_on, said_line(word, said))
    if not isinstance(said, Measured):
        yield Point("confirmed" if said else "violation", rule, says, rests_on, about(word))
    elif asked.figure is not None:
        yield _compared(asked, said, asked.figure, standing.derived, standing.check.method)
    elif len(set(asked.figures)) == 1:
        lacks = with_here(says, f"{said}; no figure is listed to compare it with")
        yield Point("unproven", rule, lacks, rests_on, about(word))
    elif standing.possible:  # else none of them would do, and to name one would not help
        lacks = with_here(says, f"{said}; the connectors of this method differ in it")
        yield Point("unproven", rule, lacks, rests_on, CONNECTOR)


def _compared(asked: ExpectedStep, said: Measured, wanted: Measured, derived: FindingSet, method: str) -> Point:
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
    rests_on = (*asked.step.rests_on, said_line(asked.word, said))
    return Point(
        "confirmed" if fits else "violation",
        asked.step.rule.id,
        with_here(asked.step.says, f"{said}; {wanted} is {usual}{more}"),
        rests_on,
        about(asked.word),
        Compared(said, wanted, within, rule),
    )


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
            fact, where = said_line(word, proposal.said[word]), about(word)
        else:
            fact, where = sign_line(str(effect.sign)), SIGNS
        pardoned = [excused(effect, connector) for connector in standing.meant]
        if any(pardoned):
            if all(pardoned):
                yield Point("confirmed", defect.rule.id, defect.says, (*defect.rests_on, fact), where)
            else:
                yield Point("unproven", defect.rule.id, defect.says, (*defect.rests_on, fact), CONNECTOR)
        else:
            yield Point("violation", defect.rule.id, defect.says, (*defect.rests_on, fact), where)


def _asks(standing: ProposalMatch) -> Iterator[Point]:
    check = standing.check
    for one in standing.derived.asks:
        word = str(one.rule.effect.asks)
        if concerns(one.rule.effect, check.proposal, check.method):
            if standing.possible or about(word) != CONNECTOR:
                yield Point("unproven", one.rule.id, one.says, one.rests_on, about(word))
        elif word in check.proposal.said and _for(one, check.method):
            fact = said_line(word, check.proposal.said[word])
            yield Point("confirmed", one.rule.id, one.says, (*one.rests_on, fact), about(word))


def _for(finding: Finding, method: str) -> bool:
    return not finding.rule.effect.methods or method in finding.rule.effect.methods
