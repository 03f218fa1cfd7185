"""The worked calls of `openapi/examples/calls`: each is printed in the API's document, and answered so by a test."""

from __future__ import annotations

import functools
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from splicewright import shipped
from splicewright.api.operations import JSON
from splicewright.yaml_text import read_yaml

#: The parts of a file, in this order: what it shows, the call, the body's type and the body (`send` a value, `text` as
#: it stands), headers, the settings and the state of the server, and the answer.
KEYS = (
    "about",
    "operation",
    "call",
    "paths",
    "type",
    "send",
    "text",
    "headers",
    "settings",
    "state",
    "status",
    "gives",
    "answer",
)


@dataclass(frozen=True)
class Example:
    """One worked call."""

    name: str
    about: str
    call: str  # method and address
    status: int
    answer: Any  # a value, or the text of a body that is not JSON
    operation: str | None = None  # None: it shows an error that any operation may give
    kind: str | None = None  # type of the body that is sent
    send: Any = None
    text: str | None = None  # a body that is no JSON value
    headers: Mapping[str, str] = field(default_factory=dict)
    settings: Mapping[str, Any] = field(default_factory=dict)  # names of `api/settings.py`
    state: str | None = None  # what has to befall the server first
    gives: str = JSON
    paths: Mapping[str, str] = field(default_factory=dict)

    def of_question(self) -> dict[str, Any]:
        """Write the body as an example of the document."""
        return {"summary": self.about, "value": self.send if self.text is None else self.text}

    def of_answer(self) -> dict[str, Any]:
        """Write the answer as an example of the document."""
        return {"summary": self.about, "value": self.answer}


@functools.cache
def examples() -> tuple[Example, ...]:
    """Read every worked call, in the order of their names."""
    paths = sorted((shipped.folder("openapi") / "examples" / "calls").glob("*.yaml"))
    return tuple(_example(path.stem, read_yaml(path.read_bytes()).value) for path in paths)


def _example(name: str, found: dict[str, Any]) -> Example:
    return Example(
        name=name,
        about=found["about"],
        operation=found.get("operation"),
        call=found["call"],
        kind=found.get("type"),
        send=found.get("send"),
        text=found.get("text"),
        headers=found.get("headers", {}),
        settings=found.get("settings", {}),
        state=found.get("state"),
        status=found.get("status", 0),
        gives=found.get("gives", JSON),
        answer=found.get("answer"),
        paths=found.get("paths", {}),
    )
