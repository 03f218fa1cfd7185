"""From given values to a check: a question, a proposal, and the connector that it names."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from splicewright.catalogue import Catalogue, Connector
from splicewright.choice.loaded_rules import LoadedRules
from splicewright.inspection.schema import CheckSchema
from splicewright.question.proposal import Proposal, proposal_of
from splicewright.question.read import ParsedQuestion, load_taking, read_question
from splicewright.question.read_as import ReadAs
from splicewright.refusals import Problem, Refused, Says, not_allowed, shown
from splicewright.strict_schema import made_once


@dataclass(frozen=True, slots=True)
class Check:
    """A check as read. `connector` is None where only the method is known."""

    asked: ParsedQuestion
    proposal: Proposal
    method: str
    connector: Connector | None
    read_as: tuple[ReadAs, ...] = ()


def read_check(given: Any, holding: LoadedRules, *, explain: str = "full", include: Sequence[str] = ()) -> Check:
    """Read a check against the catalogues in use. Raises `Refused` with every problem."""
    if not isinstance(given, Mapping):
        raise Refused([Problem("", Says("a check is an object with a joint and a proposal", "wrong-type"))])
    problems: list[Problem] = []
    proposal = asked = None
    read_as: tuple[ReadAs, ...] = ()
    unsaid = holding.unsaid
    try:
        proposal, given, read_as = take_proposal(given, unsaid.values["code"])
        question = {key: given[key] for key in given if key != "proposal"}
        asked = read_question(question, explain=explain, include=include, unsaid=unsaid)
    except Refused as error:
        problems += error.problems
    try:
        connector = _connector(given, holding)
    except Refused as error:
        problems += error.problems
    if problems or proposal is None or asked is None:
        raise Refused(sorted(set(problems), key=lambda problem: problem.pointer))
    method = connector.method if connector else str(proposal.method)
    return Check(asked, proposal, method, connector, read_as)


def take_proposal(given: Mapping[str, Any], code: str) -> tuple[Proposal, Mapping[str, Any], tuple[ReadAs, ...]]:
    """Give the proposal of a check, the whole as it was taken, and what was taken for another way to write it.

    Raises `Refused` with every problem of the form.
    """
    found, given, read_as = load_taking(made_once(CheckSchema), given, code)
    return proposal_of(found["proposal"]), given, read_as


def _connector(given: Mapping[str, Any], holding: LoadedRules) -> Connector | None:
    """Find the connector that a proposal names; what is not of the right kind is told elsewhere."""
    proposal, name = given.get("proposal"), given.get("catalogue", holding.unsaid.values.get("catalogue"))
    named = proposal.get("connector") if isinstance(proposal, Mapping) else None
    if not isinstance(name, str):
        return None
    catalogue = holding.index(name).catalogue
    if not isinstance(proposal, Mapping) or not isinstance(named, str):
        return None
    method = proposal.get("method")
    return proposed_connector(named, method if isinstance(method, str) else None, catalogue)


def proposed_connector(named: str | None, method: str | None, catalogue: Catalogue) -> Connector | None:
    """Give the connector that a proposal names; None where it names a method only.

    Raises `Refused` where the catalogue has none of that name, or has it of another method.
    """
    if named is None:
        return None
    try:
        found = catalogue.connector(named)
    except KeyError:
        known = [connector.id for connector in catalogue.connectors]
        lacks = f"catalogue {catalogue.name} has no such connector: "
        raise Refused(
            [Problem("/proposal/connector", not_allowed(named, known, "unknown-name").within(lacks))]
        ) from None
    if method is not None and method != found.method:
        contrary = f"is {shown(method)}, but {found.id} is a {found.method}; leave the method out"
        raise Refused([Problem("/proposal/method", contrary)])
    return found
