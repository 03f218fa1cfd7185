"""Which splice method, for these conductors, here, and why."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from splicewright.choice import choose
    from splicewright.reading import Refused

__all__ = ["Refused", "choose"]


def __getattr__(name: str) -> Any:
    # Imported when first used: a command that answers no question need not load the engine.
    if name == "choose":
        from splicewright.choice import choose  # noqa: PLC0415

        return choose
    if name == "Refused":
        from splicewright.reading import Refused  # noqa: PLC0415

        return Refused
    raise AttributeError(name)
