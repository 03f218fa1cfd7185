"""What is found of a splice that is proposed for a joint, or was made: the verdict of its check, and on what."""

from __future__ import annotations

from collections.abc import Mapping

from splicewright.catalogue import Catalogue
from splicewright.choice.matching import Match
from splicewright.inspection.listing import ProposalMatch
from splicewright.inspection.makeup import judged_of
from splicewright.inspection.model import Judged
from splicewright.inspection.read import Check, proposed_connector
from splicewright.question.model import Question
from splicewright.question.proposal import Proposal
from splicewright.question.read import ParsedQuestion
from splicewright.refusals import Problem, Refused
from splicewright.rulebook import Rule, Rulebook


def words_of_fill(book: Rulebook) -> dict[str, Rule]:
    """Give the rules that have the words for each verdict of fill."""
    return {rule.effect.verdict: rule for rule in book.rules if rule.effect.verdict}


def judged_proposal(question: Question, proposal: Proposal, match: Match, words: Mapping[str, Rule]) -> Judged | None:
    """Judge a proposal by what was derived for its joint; None where the catalogue has no such connector."""
    try:
        connector = proposed_connector(proposal.connector, proposal.method, match.index.catalogue)
    except Refused:
        return None
    method = connector.method if connector else str(proposal.method)
    check = Check(ParsedQuestion(question, include=frozenset()), proposal, method, connector)
    return judged_of(ProposalMatch(check, match, words))


def problems_of(proposal: Proposal, catalogue: Catalogue) -> tuple[Problem, ...]:
    """Give why a proposal can't be judged with a catalogue, its pointers into the check."""
    try:
        proposed_connector(proposal.connector, proposal.method, catalogue)
    except Refused as error:
        return error.problems
    return ()
