"""Where in what was sent the reason of a finding stands: the stated word that it speaks of."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from splicewright.json_pointer import pointer_parts, value_at
from splicewright.question.read import DEFAULTS

Plain = Mapping[str, Any]


def pointer_of(at: Iterable[str], sent: Plain) -> str:
    """Give the first of these pointers that leads to what was sent, a question or a box; "" where none does.

    One whose word is not what would be assumed anyway goes before one whose word is.
    """
    stated = [(pointer, value) for pointer in at if (value := value_at(sent, pointer)) is not None]
    telling = [pointer for pointer, value in stated if value != _usual(pointer)]
    return (telling or [pointer for pointer, _ in stated] or [""])[0]


def _usual(pointer: str) -> Any:
    """Give what would be assumed there; None where nothing always is."""
    *parts, leaf = pointer_parts(pointer)
    part = parts[-1] if parts else ""
    return DEFAULTS.get("conductor" if part.isdecimal() else f"/{part}", {}).get(leaf)
