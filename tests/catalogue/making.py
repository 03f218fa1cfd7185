"""Joints and connectors in a few words, for the tests beside this file."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from splicewright.catalogue import Connector, catalogue_of
from splicewright.question.model import Conductor, Joint
from splicewright.question.vocabulary import CONSTRUCTION, END, MATERIAL
from splicewright.units import size

_WRITTEN = re.compile(r"(\d+) x (\S+ \S+)((?: \S+)*)")


def conductor(written: str) -> Conductor:
    """Make `2 x 12 AWG`, `1 x 18 AWG fine-stranded ferruled`; copper, solid and plain unless said."""
    match = _WRITTEN.fullmatch(written)
    assert match, written
    words = match[3].split()
    said = {
        name: next((word for word in words if word in known), default)
        for name, known, default in (
            ("material", MATERIAL, "copper"),
            ("construction", CONSTRUCTION, "solid"),
            ("end", END, "plain"),
        )
    }
    return Conductor(
        size=size(match[2]),
        count=int(match[1]),
        finish="plain",
        condition="sound",
        circuit="A",
        cable="none",
        insulation=None,
        role="ungrounded",
        path="ends",
        **said,
    )


def joint(*written: str) -> Joint:
    """Make a joint of conductors as `conductor` writes them, in the order given."""
    return Joint(purpose="splice", conductors=tuple(conductor(one) for one in written))


def listing(**more: Any) -> dict[str, Any]:
    """Give the least that a connector must say, and what is added or replaced."""
    least: dict[str, Any] = {
        "id": "one",
        "method": "twist-on",
        "takes": [combinations({"14 AWG": 2})],
        "places": ["dry"],
        "grounding": "also",
        "tool": "none",
    }
    return {key: value for key, value in {**least, **more}.items() if value is not None}


def catalogue(*connectors: Mapping[str, Any]) -> dict[str, Any]:
    """Give a whole catalogue as plain data."""
    return {"catalogue": "trial", "note": "Made for a test.", "connectors": list(connectors)}


def connector(*takes: Mapping[str, Any], **more: Any) -> Connector:
    """Make a connector that takes these groups."""
    return catalogue_of(catalogue(listing(takes=list(takes), **more))).connectors[0]


def combinations(*maps: Mapping[str, Any], **more: Any) -> dict[str, Any]:
    """Give a group of combinations of solid or stranded copper."""
    return {"materials": ["copper"], "constructions": ["solid", "stranded"], "combinations": list(maps), **more}


def ports(*kinds: Mapping[str, Any], **more: Any) -> dict[str, Any]:
    """Give a group of ports for copper."""
    return {"materials": ["copper"], "ports": list(kinds), **more}


def port(count: int, least: str, most: str, **more: Any) -> dict[str, Any]:
    """Give like ports for solid conductors from one size to another."""
    return {"count": count, "solid": {"from": least, "to": most}, **more}
