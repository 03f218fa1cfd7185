"""Files with joints, for the tests beside this file."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

import orjson

from splicewright.answering import Chooser, shipped_chooser
from splicewright.catalogue import Catalogue, catalogue_of
from splicewright.shelf.evaluation import HeldJoint, Shelf
from splicewright.shelf.joints import joints_in
from tests.catalogue.making import catalogue


def written(folder: Path, name: str, value: Any) -> str:
    """Write a value as JSON, which is YAML too, and give the file's path."""
    path = folder / name
    path.write_bytes(orjson.dumps(value, option=orjson.OPT_INDENT_2))
    return str(path)


def joint(size: str, count: int, **more: Any) -> dict[str, Any]:
    """Give a question about like conductors."""
    return {"joint": {"conductors": [{"size": size, "count": count}]}, **more}


def job(folder: Path, *joints: Mapping[str, Any]) -> str:
    """Write a job of these joints."""
    return written(folder, "job.json", {"joints": list(joints)})


def made(*connectors: Mapping[str, Any]) -> Catalogue:
    """Make a catalogue of these connectors."""
    return catalogue_of(catalogue(*connectors))


def held(path: str, *connectors: Mapping[str, Any]) -> tuple[Shelf, list[HeldJoint]]:
    """Hold the joints of a file against a catalogue of these connectors."""
    shelf = Shelf(made(*connectors), chooser())
    return shelf, shelf.hold(joints_in([path]))


def chooser() -> Chooser:
    return shipped_chooser()
