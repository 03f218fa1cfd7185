"""Files of a folder of rulesets that nothing reads: what stands in them would be passed over in silence."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from splicewright.codes import Codes
from splicewright.document import ENDING, call_it
from splicewright.faults import Fault
from splicewright.refusals import not_allowed

_FOLDERS = ("practice", "tables", "catalogues", "words", "amendments")
_FILES = ("codes.yaml", "concerns.yaml", "floor.yaml", "kept.yaml")
_BESIDE = (".md", ".json")  # for people and editors


def unread_files(rulesets: Path, codes: Codes) -> Iterator[Fault]:
    """Give a fault for each folder, and each file that may be meant as rules or listings, that nothing reads."""
    folders = (*_FOLDERS, *codes.by_name)
    for path in sorted(rulesets.iterdir()):
        if path.name.startswith("."):
            continue
        if path.is_dir():
            if path.name in folders:
                yield from _in_folder(path)
            else:
                says = f"nothing reads this folder: {not_allowed(path.name, folders)}"
                yield Fault(path.name, 0, "", says)
        elif path.suffix not in _BESIDE and path.name not in _FILES:
            yield Fault(path.name, 0, "", f"nothing reads this file: {not_allowed(path.name, _FILES)}")


def _in_folder(folder: Path) -> Iterator[Fault]:
    for path in sorted(folder.iterdir()):
        name = f"{folder.name}/{path.name}"
        if path.name.startswith("."):
            continue
        if path.is_dir():
            yield Fault(name, 0, "", f"nothing reads this folder; put its files into {folder.name}/")
        elif path.suffix not in (ENDING, *_BESIDE):
            yield Fault(name, 0, "", call_it(path))
