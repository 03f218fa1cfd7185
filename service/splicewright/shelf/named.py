"""A catalogue by its name or by its file."""

from __future__ import annotations

from pathlib import Path

from splicewright import shipped
from splicewright.catalogue import Catalogue, parse_catalogue, read_catalogue
from splicewright.faults import Fault, Faults
from splicewright.refusals import not_allowed

ENDINGS = (".yaml", ".yml")
LARGEST = 10_000_000  # bytes


def is_file(given: str) -> bool:
    """Tell whether a file is meant, and not a name: it ends like one, or has a folder before it."""
    return given.lower().endswith(ENDINGS) or "/" in given or "\\" in given


def catalogue_named(given: str, folder: Path | None = None) -> Catalogue:
    """Read the catalogue of that name in a folder (by default the shipped ones), or the file that is named.

    Raises `Faults`.
    """
    if is_file(given):
        return catalogue_in_file(Path(given))
    folder = folder or shipped.folder("rulesets") / "catalogues"
    known = sorted(path.stem for path in folder.glob("*.yaml"))
    if given not in known:
        says = not_allowed(given, known)
        raise Faults([Fault("", 0, "no catalogue", f"{says}; of a file write its path, such as ./{given}.yaml")])
    return read_catalogue(folder / f"{given}.yaml")


def catalogue_in_file(path: Path) -> Catalogue:
    """Read a catalogue file, whatever it is called. Raises `Faults`."""
    return parse_catalogue(file_bytes(path), str(path))


def file_bytes(path: Path) -> bytes:
    """Read a catalogue's file whole. Raises `Faults` where that can't be done, or where it is too large."""
    try:
        with path.open("rb") as stream:
            data = stream.read(LARGEST + 1)
    except OSError as error:
        raise Faults([Fault(str(path), 0, "", f"can't be read: {error.strerror}")]) from None
    if len(data) > LARGEST:
        raise Faults([Fault(str(path), 0, "", f"is larger than {LARGEST:,} bytes")])
    return data
