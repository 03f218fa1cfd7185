"""Which files a check looks at: those named, and in the folders named all that may be ours, in a fixed order."""

from __future__ import annotations

import fnmatch
import os
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from splicewright.sheets.table import KINDS

#: Kind of file by the ending of its name.
ENDINGS = {
    ".yaml": "yaml",
    ".yml": "yaml",
    ".json": "json",
    ".ndjson": "ndjson",
    ".jsonl": "ndjson",
    **KINDS,
}
#: Files that may hold tables of joints and are not read: they are told, and not taken for nothing.
UNREAD_TABLES = (
    ".xls", ".xlsm", ".xlsb", ".xlt", ".xltx", ".xltm", ".numbers", ".ots", ".fods", ".parquet", ".tab",
)  # fmt: skip
TEXT = ".txt"  # counted where it is passed over: its ending does not say what it holds
_NOT_ENTERED = {"node_modules", "__pycache__", "venv"}
_LOCK = "~$"  # what a spreadsheet program leaves beside a file that is open


@dataclass(frozen=True, slots=True)
class CheckedFile:
    """A file to check. `named`: it was named itself, so it has to be ours."""

    path: Path
    name: str  # as reported: relative, with forward slashes
    named: bool

    @property
    def kind(self) -> str | None:
        """The kind of file, by the ending of its name."""
        return ENDINGS.get(self.path.suffix.lower())

    @property
    def holds_unread_table(self) -> bool:
        """Whether it may hold tables, of a kind that is not read."""
        return self.path.suffix.lower() in UNREAD_TABLES


def find_files(paths: Iterable[str], exclude: Sequence[str] = ()) -> list[CheckedFile]:
    """Give the files to check, each once, sorted by name. Raises `FileNotFoundError` for a path that is not there.

    A folder is gone through with all below it but what begins with a point, and some that hold no work of one's own;
    links to folders are not followed. `exclude` are patterns that names must not match (`old/*`).
    """
    found: dict[Path, CheckedFile] = {}
    for given in paths:
        path = Path(given)
        if not path.exists() and not path.is_symlink():
            raise FileNotFoundError(given)
        if path.is_dir():
            sources = [CheckedFile(one, name_of(one), named=False) for one in _below(path)]
        else:
            sources = [CheckedFile(path, name_of(path), named=True)]
        for source in sources:
            if any(fnmatch.fnmatchcase(source.name, pattern) for pattern in exclude):
                continue
            known = found.get(real := _real(source.path))
            if known is None or (source.named, known.name) > (known.named, source.name):
                found[real] = source
    return sorted(found.values(), key=lambda source: source.name)


def _below(folder: Path) -> Iterator[Path]:
    for at, folders, names in os.walk(folder):
        folders[:] = sorted(one for one in folders if not one.startswith(".") and one not in _NOT_ENTERED)
        for name in sorted(names):
            path = Path(at, name)
            ours = Path(name).suffix.lower() in (*ENDINGS, *UNREAD_TABLES, TEXT) and not name.startswith((".", _LOCK))
            if ours and path.is_file():
                yield path


def unread(path: Path) -> str:
    """Word that a file is of no kind that is read, with what to do."""
    ending = path.suffix.lower()
    if ending in UNREAD_TABLES:
        return f"a {ending} file is not read; save it as .xlsx or .csv"
    told = f"no kind of file that is read here{f' by its ending {ending}' if ending else ''}"
    of_tables = "; call a table .csv, or .tsv with tabs between its cells" if ending == TEXT else ""
    return f"{told}{of_tables}; known are {', '.join(ENDINGS)}"


def name_of(path: Path) -> str:
    """Give a path as it is reported: from the working directory, with forward slashes, as text that can be written."""
    try:
        found = Path(os.path.relpath(path)).as_posix()
    except ValueError:  # on another drive
        found = path.resolve().as_posix()
    return os.fsencode(found).decode("utf-8", "backslashreplace")


def _real(path: Path) -> Path:
    try:
        return path.resolve()
    except (OSError, RuntimeError):  # links that go in a circle
        return path.absolute()
