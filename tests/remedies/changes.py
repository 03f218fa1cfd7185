"""What remedies change, read from their patches."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from splicewright.remedies.patch import leaves_written


def change(remedy: dict[str, Any]) -> dict[str, dict[str, Any]]:
    """Give the leaves that a remedy writes, by their parts; those of conductors under `conductor`."""
    found: dict[str, dict[str, Any]] = {}
    for name, value in leaves_written(remedy["patch"]):
        part, _, leaf = name.partition(".")
        found.setdefault(part, {})[leaf] = value
    return found


def changes(remedies: Iterable[dict[str, Any]]) -> list[dict[str, dict[str, Any]]]:
    """Give what each of the remedies that alter the question writes."""
    return [change(remedy) for remedy in remedies if remedy["kind"] == "alter"]


def without_patches(written: Any) -> Any:
    """Leave out what is of the question as it was sent."""
    if isinstance(written, list):
        return [without_patches(one) for one in written]
    if isinstance(written, dict):
        return {key: without_patches(value) for key, value in written.items() if key != "patch"}
    return written
