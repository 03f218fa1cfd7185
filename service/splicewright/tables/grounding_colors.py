"""How equipment grounding conductors are told by their color. Source: rulesets/tables/grounding-colors.yaml."""

from __future__ import annotations

from typing import Any

from splicewright.tables.loader import table


def grounding_color(role: str) -> str | None:
    """Give the color of a grounding role, in words; None for other roles, whose colors are not told here."""
    found = table("grounding-colors").rows["colors"].get(role)
    return None if found is None else str(found)


def grounding_color_source(code: str) -> dict[str, Any] | None:
    """Give what the colors rest on in a code edition; None where they were not read for it."""
    found = table("grounding-colors")
    return found.cited(code) if found.holds_for(code) else None
