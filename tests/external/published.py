"""Reads the published values that tests compare with, and names each by its source."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from splicewright.yaml_text import read_yaml


def published(name: str) -> Any:
    return read_yaml((Path(__file__).parent / "data" / f"{name}.yaml").read_bytes()).value


def cited(source: dict[str, Any], *about: object) -> str:
    """Give a test id: what it is about, and where the value was found."""
    edition = f" {source['edition']}" if "edition" in source else ""
    where = f"{source['document']}{edition}, {source['section']} ({source['obtained']})"
    return ": ".join([" ".join(str(one) for one in about), where])
