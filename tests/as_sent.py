"""Takes out of an answer what speaks of the question as it was sent, so that the rest can be compared."""

from __future__ import annotations

from typing import Any

#: The keys that the address of an answer does not cover.
AS_SENT = frozenset({"id", "assumed", "read_as", "at", "asks", "patch"})


def apart_from_as_sent(value: Any) -> Any:
    """Give a value without these keys, at any depth."""
    if isinstance(value, dict):
        return {key: apart_from_as_sent(inner) for key, inner in value.items() if key not in AS_SENT}
    return [apart_from_as_sent(inner) for inner in value] if isinstance(value, list) else value
