"""The library itself, for tests that pin what it does."""

from __future__ import annotations

import itertools
import os
import subprocess
import sys
from collections.abc import Mapping, Sequence
from typing import Any

import durable_rules_engine
import orjson

_names = itertools.count()


class Raw:
    """A ruleset of its own. Rules are given as the library reads them, facts without session."""

    def __init__(self, rules: Mapping[str, Any], name: str = "") -> None:
        definition = orjson.dumps(rules).decode()
        self.handle = durable_rules_engine.create_ruleset(name or f"raw{next(_names)}", definition)
        self.state = 0

    def put(self, fact_id: str, **properties: Any) -> int:
        """Assert a fact and give the code for what became of it."""
        text = orjson.dumps({"id": fact_id, "sid": "0", **properties}).decode()
        code, self.state = durable_rules_engine.assert_fact(self.handle, text)
        return int(code)

    def take(self, fact_id: str) -> None:
        """Retract a fact by its id and session alone."""
        durable_rules_engine.retract_fact(self.handle, orjson.dumps({"id": fact_id, "sid": "0"}).decode())

    def held(self) -> list[Any]:
        """Give the facts that the session holds."""
        held: list[Any] = orjson.loads(durable_rules_engine.get_facts(self.handle, "0"))
        return held

    def start(self) -> str | None:
        """Start the first firing and give its text."""
        started = durable_rules_engine.start_action_for_state(self.handle, self.state)
        return started[1] if started else None

    def next(self) -> str | None:
        """Complete the started firing, start the next and give its text."""
        text: str | None = durable_rules_engine.complete_and_start_action(self.handle, self.state)
        return text

    def fire(self) -> list[Any]:
        """Run all firings and give them, read."""
        found, text = [], self.start()
        while text is not None:
            found.append(orjson.loads(text))
            text = self.next()
        return found


def rule(*patterns: Any) -> dict[str, Any]:
    """Give a rule with patterns a, b, …, all of which must match."""
    return {"all": [{"abcdefghijklmnopq"[at]: pattern} for at, pattern in enumerate(patterns)]}


def in_a_process(code: str, arguments: Sequence[str] = (), **environment: str) -> subprocess.CompletedProcess[str]:
    """Run Python code in a process of its own, which may crash."""
    return subprocess.run(
        [sys.executable, "-c", code, *arguments],
        env={**os.environ, **environment},
        capture_output=True,
        text=True,
        check=False,
        timeout=120,
    )
