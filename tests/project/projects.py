"""Projects that tests begin with: a folder with a project file, and a catalogue of its own."""

from __future__ import annotations

import functools
from pathlib import Path

from splicewright import shipped
from splicewright.project.finding import FILE
from splicewright.yaml_text import read_yaml

NAMED = 'code = "nfpa70-2020"\ncatalogue = "our-shelf"\ncatalogues = "shelf/"\n'
CARRIED = ("lever-2-port", "lever-3-port", "push-in-3-port", "twist-on-medium", "twist-on-large")


def project(folder: Path, text: str = NAMED, name: str = "our-shelf") -> Path:
    """Write a project file, and a shelf with one catalogue of a few connectors; give the file."""
    shelf = folder / "shelf"
    shelf.mkdir(parents=True, exist_ok=True)
    (shelf / f"{name}.yaml").write_text(catalogue_text(name), encoding="utf-8")
    file = folder / FILE
    file.write_text(text, encoding="utf-8")
    return file


@functools.cache
def catalogue_text(name: str) -> str:
    """Give a catalogue of a few of the shipped connectors under another name."""
    text = (shipped.folder("rulesets") / "catalogues" / "shop.yaml").read_text(encoding="utf-8")
    document = read_yaml(text)
    lines, found = text.split("\n"), []
    starts = [document.line(f"/connectors/{at}") - 1 for at in range(len(document.value["connectors"]))]
    for at, one in enumerate(document.value["connectors"]):
        if one["id"] in CARRIED:
            end = starts[at + 1] if at + 1 < len(starts) else len(lines)
            found += [line for line in lines[starts[at] : end] if not line.startswith("  # ---")]
    return "\n".join([f"catalogue: {name}", "note: What the truck carries.", "connectors:", *found, ""])
