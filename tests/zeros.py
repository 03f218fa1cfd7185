"""Digests in what is kept, as zeros: they hang on every rule, and what is kept should change with what it shows only.

Whoever writes an answer, or what a command prints, into a file of the repository, and whoever compares with it, passes
it through `as_zeros` first. Digests and content addresses have tests of their own, which look at real ones.
"""

from __future__ import annotations

import re
from typing import Any

#: A digest of rules or of a catalogue, the address of an answer, and in quotes the tag of a version (`ETag`).
_DIGEST = re.compile(r"(?<=\bsha256:)[0-9a-f]{64}\b|(?<=\")[0-9a-f]{32}(?=\")")


def as_zeros(value: Any) -> Any:
    """Give text or plain data with a zero for each digit of the digests in its texts."""
    if isinstance(value, str):
        return _DIGEST.sub(lambda found: "0" * len(found[0]), value)
    if isinstance(value, list):
        return [as_zeros(inner) for inner in value]
    return {key: as_zeros(inner) for key, inner in value.items()} if isinstance(value, dict) else value
