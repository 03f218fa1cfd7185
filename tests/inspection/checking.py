"""Checks in few words: two 12 AWG solid copper ends in a dry box, and what is proposed for them."""

from __future__ import annotations

from typing import Any

from splicewright.inspection import check_splice
from splicewright.rulebook.examples import PLAIN

#: Said of a connector with ports, everything that is asked for two plain ends.
LEVER: dict[str, Any] = {"connector": "lever-2-port", "strip": {"value": 11, "unit": "mm"}, "tugged": True}
TWIST_ON: dict[str, Any] = {
    "connector": "twist-on-medium",
    "strip": {"value": 13, "unit": "mm"},
    "pre_twisted": False,
    "tugged": True,
}


def given(proposal: dict[str, Any], **parts: Any) -> dict[str, Any]:
    """Give a check of a proposal, laid over the plain joint."""
    return {**PLAIN, **parts, "proposal": proposal}


def checked(proposal: dict[str, Any], **parts: Any) -> dict[str, Any]:
    """Answer it."""
    return check_splice(given(proposal, **parts))


def rules(points: list[dict[str, Any]]) -> set[str]:
    """Give the rules of some points."""
    return {point["rule"] for point in points}
