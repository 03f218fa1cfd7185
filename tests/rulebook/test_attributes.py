"""Attributes of connectors declare what their silence means, and figures of make-up are named once."""

from __future__ import annotations

from splicewright.question.proposal import ProposalSchema
from splicewright.question.vocabulary import MAKE_UP_FIGURES, PROVES
from splicewright.rulebook.attributes import ATTRIBUTES
from splicewright.rulebook.proposals import FIGURES


def test_amperes_alone_may_be_left_out_rightly() -> None:
    assert [name for name, kind in ATTRIBUTES.items() if kind.rightly_silent] == ["amps"]


def test_figures_of_make_up_are_told_by_proposals_and_proved_by_steps() -> None:
    assert set(MAKE_UP_FIGURES) < set(FIGURES)
    assert set(MAKE_UP_FIGURES) < set(ProposalSchema().fields)
    assert set(MAKE_UP_FIGURES) <= set(PROVES.values())
