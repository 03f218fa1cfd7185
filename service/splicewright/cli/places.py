"""Where a command writes: never onto a file that it reads, and under an ending that says what is written."""

from __future__ import annotations

import os
import stat
import sys
from collections.abc import Iterable
from pathlib import Path
from typing import TYPE_CHECKING

from splicewright.cli.input import fail

if TYPE_CHECKING:
    from splicewright.project.reading import Project

#: What each kind of report, and the lines of a batch, may be called; the first is what to write.
ENDINGS = {
    "xlsx": (".xlsx",),
    "csv": (".csv",),
    "html": (".html", ".htm"),
    "json": (".json",),
    "ndjson": (".ndjson", ".jsonl"),
    "sarif": (".sarif", ".json"),
    "junit": (".xml", ".junit"),
    "baseline": (".json",),
    "text": (".txt", ".text", ".log", ".md"),
    "lines": (".ndjson", ".jsonl", ".json", ".txt", ".gz", ".parquet"),
}
_ARE = {
    "xlsx": "a workbook",
    "csv": "a table",
    "html": "a work sheet",
    "lines": "a file of answers",
    "baseline": "a baseline",
}
_OTHERS = (".tsv", ".ods", ".xls", ".xlsm", ".xlsb", ".numbers", ".pdf", ".yaml", ".yml", ".toml")
_KNOWN = frozenset([*_OTHERS, *(ending for endings in ENDINGS.values() for ending in endings)])


def keep_what_was_read(read: Iterable[str | Path], places: Iterable[Path]) -> None:
    """Exit with 2 where a file that is read, whatever it is called there, would be written over.

    `-` is standard input, which may be a file too.
    """
    known = {one for name in read if (one := _file(name)) is not None}
    for place in places:
        if _file(place) in known:
            fail(f"{place}: is the file that is read; name another place")


def same_file(one: Path, places: Iterable[Path]) -> bool:
    """Tell whether a file is at one of these places, whatever it is called there."""
    found = _file(one)
    return found is not None and any(_file(place) == found for place in places)


def _file(name: str | Path) -> tuple[int, int] | None:
    """Give what a file is known by, under each of its names; None where there is none, or a pipe or device."""
    try:
        found = os.fstat(sys.stdin.fileno()) if str(name) == "-" else Path(name).stat()
    except (OSError, ValueError, AttributeError):
        return None
    return (found.st_dev, found.st_ino) if stat.S_ISREG(found.st_mode) else None


def files_of(project: Project | None) -> list[Path]:
    """Give the files that a project is read from: its own, its catalogues and its amendments."""
    if project is None:
        return []
    shelf = [project.catalogue_file(name) for name, _ in project.shelf]
    return [project.file, *shelf, *(Path(text.file) for text in project.own_amendments)]


def called_rightly(kind: str, place: Path, option: str) -> None:
    """Exit with 2 where a file of this kind would have the ending of another; a workbook has its own alone."""
    ending = place.suffix.lower()
    if ending in ENDINGS[kind] or (ending not in _KNOWN and kind != "xlsx") or _is_no_file(place):
        return
    what = _ARE.get(kind, f"a report as {kind}")
    right = place.with_name((place.stem if ending in _KNOWN else place.name) + ENDINGS[kind][0])
    fail(f"{option}: {place}: {what} is a {ENDINGS[kind][0]} file; write {right}")


def folder_rightly(place: Path, option: str) -> None:
    """Exit with 2 where a folder would be made with the ending of a file."""
    if place.suffix.lower() in _KNOWN and not place.is_dir():
        fail(f"{option}: {place}: files go into a folder; name one, such as {place.with_suffix('')}{os.sep}")


def _is_no_file(place: Path) -> bool:
    return place.exists() and not place.is_file()
