"""Whether a rule on proposed splices speaks of one: of what it says, by its method, with the connectors it may mean."""

from __future__ import annotations

from collections.abc import Iterable

from splicewright.catalogue import Connector, meets
from splicewright.question.proposal import Proposal
from splicewright.rulebook.model import Effect
from splicewright.rulebook.proposals import CONNECTOR


def concerns(effect: Effect, proposal: Proposal, method: str) -> bool:
    """Say whether what a rule is about stands in a proposal (defect, tolerance), or is left open by it (ask)."""
    if effect.methods and method not in effect.methods:
        return False
    if effect.kind == "ask":
        return proposal.connector is None if effect.asks == CONNECTOR else effect.asks not in proposal.said
    if effect.kind == "tolerance":
        return effect.asks in proposal.said
    if effect.said is None:
        return effect.sign in proposal.signs
    word, wanted = effect.said
    return word in proposal.said and wanted in (None, proposal.said[word])


def excused(effect: Effect, connector: Connector) -> bool:
    """Say whether a connector's listing excuses from a step's proof or a defect."""
    return bool(effect.tests) and all(meets(connector, test) for test in effect.tests)


def speaks(effect: Effect, proposal: Proposal, method: str, connectors: Iterable[Connector]) -> bool:
    """Say whether a rule on proposals holds against (or asks of) one that may mean any of some connectors."""
    return concerns(effect, proposal, method) and not any(excused(effect, connector) for connector in connectors)
