"""Watches the library, and what memory the process takes."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import durable_rules_engine as library
import pytest

_CALLS = (
    "create_ruleset",
    "delete_ruleset",
    "delete_state",
    "assert_fact",
    "assert_facts",
    "retract_facts",
    "start_action_for_state",
    "complete_and_start_action",
)


class Spy:
    """Stands before the library: counts calls, and fails the nth of a kind."""

    def __init__(self, monkeypatch: pytest.MonkeyPatch) -> None:
        self.calls: list[tuple[str, Any]] = []
        self.handle: Any = None  # of the ruleset that was last put anything to
        self._fail: dict[str, int] = {}
        for name in _CALLS:
            monkeypatch.setattr(library, name, self._before(name, getattr(library, name)))

    def _before(self, name: str, real: Any) -> Any:
        def call(*arguments: Any) -> Any:
            self.calls.append((name, arguments[-1]))
            if name == "assert_facts":
                self.handle = arguments[0]
            if self._fail.get(name) == self.count(name):
                raise KeyboardInterrupt(name)
            return real(*arguments)

        return call

    def fail(self, name: str, nth: int) -> None:
        """Let the nth call of a kind raise."""
        self._fail[name] = nth

    def count(self, name: str) -> int:
        """Count the calls of a kind so far."""
        return sum(called == name for called, _ in self.calls)

    def deletions(self) -> list[str]:
        """Give the calls that gave something back, in their order."""
        return [name for name, _ in self.calls if name.startswith("delete")]


def resident() -> int:
    """Give the resident memory in kB."""
    return int(Path("/proc/self/statm").read_text(encoding="ascii").split()[1]) * 4
