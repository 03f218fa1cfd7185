"""How long pigtails and jumpers are cut. Source: rulesets/tables/pigtails.yaml."""

from __future__ import annotations

from typing import Any

from splicewright.tables.loader import table


def pigtail_length() -> tuple[float, str]:
    """Give the length that a pigtail (one end in a joint, one on a device) is cut to: (6, "in")."""
    return _length("pigtail")


def jumper_length() -> tuple[float, str]:
    """Give the length that a jumper (both ends in joints of one box) is cut to: (6, "in")."""
    return _length("jumper")


def length_source(code: str) -> dict[str, Any]:
    """Give what these lengths rest on."""
    return table("pigtails").cited(code)


def _length(of: str) -> tuple[float, str]:
    found = table("pigtails").rows["lengths"][of]
    return found["value"], found["unit"]
