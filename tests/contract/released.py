"""The document as it was last released, without its prose and examples: what `test_document_tools.py` compares with.

    python -m tests.contract.released

Run it when a version of the contract is released, never to make a comparison pass.
"""

from __future__ import annotations

from typing import Any

import yaml

from splicewright import shipped
from splicewright.api.openapi import document

PATH = shipped.folder("openapi") / "released.yaml"
_PROSE = ("description", "summary", "examples", "example")


def bare(part: Any) -> Any:
    """Give a part of a document without prose and examples; properties that are called so stay."""
    if isinstance(part, list):
        return [bare(one) for one in part]
    if not isinstance(part, dict):
        return part
    return {
        key: {name: bare(one) for name, one in inner.items()} if key == "properties" else bare(inner)
        for key, inner in part.items()
        if key not in _PROSE or (key == "description" and "content" in part)  # a response must have one
    }


def released() -> dict[str, Any]:
    found: dict[str, Any] = yaml.safe_load(PATH.read_text(encoding="utf-8"))
    return found


def write(found: dict[str, Any]) -> None:
    head = "# The last released document, without prose. Written by `python -m tests.contract.released`; not by hand.\n"
    text = yaml.safe_dump(bare(found), sort_keys=False, allow_unicode=True, width=110, default_flow_style=None)
    PATH.write_text(head + text, encoding="utf-8")


if __name__ == "__main__":
    write(document())
