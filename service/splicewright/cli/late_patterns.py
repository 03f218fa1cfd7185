"""marshmallow imported without a pattern of its own that takes longer to make than all the rest of it.

Its pattern for mail addresses has ranges of nearly all letters, without regard to case, which `re` goes through letter
by letter: a fifteenth of the time of one answer, for what no schema here reads. It is made when it is first used
instead. We would drop this if marshmallow did so itself.
"""

from __future__ import annotations

import re
from typing import Any

_NEARLY_ALL_LETTERS = "\uffff"  # the end of those ranges


class _Late:
    """A pattern that is made when it is first used."""

    def __init__(self, *written: Any) -> None:
        self._written = written

    def match(self, text: str) -> re.Match[str] | None:
        """Match as the pattern does: the one thing that is asked of it."""
        found: re.Match[str] | None = re.compile(*self._written).match(text)  # which keeps what it made
        return found


def import_marshmallow() -> None:
    """Import it, where it is not imported yet. For a command, in which no other thread makes patterns meanwhile."""
    made = re.compile

    def late(pattern: Any, flags: Any = 0) -> Any:
        is_late = isinstance(pattern, str) and _NEARLY_ALL_LETTERS in pattern
        return _Late(pattern, flags) if is_late else made(pattern, flags)

    vars(re)["compile"] = late
    try:
        import marshmallow  # noqa: F401
    finally:
        vars(re)["compile"] = made
