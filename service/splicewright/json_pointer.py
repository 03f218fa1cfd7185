"""JSON Pointers (RFC 6901): writing them, reading them, what they lead to."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any


def join(pointer: str, *parts: str | int) -> str:
    """Extend a JSON Pointer, escaping as RFC 6901 says."""
    for part in parts:
        key = str(part)
        pointer += "/" + (key.replace("~", "~0").replace("/", "~1") if "~" in key or "/" in key else key)
    return pointer


def pointer_parts(pointer: str) -> list[str]:
    """Give the keys of a JSON Pointer, with nothing escaped."""
    return [part.replace("~1", "/").replace("~0", "~") for part in pointer.split("/")[1:]]


def value_at(value: Any, pointer: str) -> Any:
    """Give the part of a value at a JSON Pointer; None where there is none."""
    for key in pointer_parts(pointer):
        if isinstance(value, Mapping) and key in value:
            value = value[key]
        elif isinstance(value, list) and key.isdecimal() and int(key) < len(value):
            value = value[int(key)]
        else:
            return None
    return value


def pointer_words(pointer: str) -> str:
    """Write a pointer as people write the place: `circuit.amps`, `joint.conductors[2].size`; numbers count from 1."""
    found = ""
    for key in pointer_parts(pointer):
        found += f"[{int(key) + 1}]" if key.isdecimal() else f".{key}" if found else key
    return found
