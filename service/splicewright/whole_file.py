"""Files each written whole or left as they were, whatever stops the writing."""

from __future__ import annotations

import contextlib
import errno
import os
import secrets
from collections.abc import Mapping
from contextlib import ExitStack
from pathlib import Path
from typing import Self


class WholeFile:
    """A file that stands at its path once it is committed; discarded, it leaves what was there, and nothing beside it.

    It keeps the permissions of the file that it replaces. A pipe or a device is written to as it is.
    """

    def __init__(self, path: Path, *, new: bool = False) -> None:
        """Begin; `new`: only where there is none. Raises `OSError` naming `path`."""
        self.path = path
        if new and os.path.lexists(path):
            raise FileExistsError(errno.EEXIST, os.strerror(errno.EEXIST), str(path))
        self._as_it_is = path.exists() and not path.is_file()
        self._target = path if self._as_it_is else Path(os.path.realpath(path))  # a link stays one
        beside = f".{self._target.name[:100]}.{secrets.token_hex(6)}.new"
        self._written = self._target if self._as_it_is else self._target.with_name(beside)
        try:
            self.stream = self._written.open("wb" if self._as_it_is else "xb")
        except OSError as error:
            raise self._told(error) from None

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self.discard()

    def write(self, data: bytes) -> None:
        """Write more of it. Raises `OSError` naming the path that was asked for."""
        try:
            self.stream.write(data)
        except OSError as error:
            raise self._told(error) from None

    def flush(self) -> None:
        """Bring all to the disk, beside its place. Raises `OSError`."""
        try:
            self.stream.flush()
            if not self._as_it_is:
                if self._target.exists():
                    os.fchmod(self.stream.fileno(), self._target.stat().st_mode & 0o7777)
                os.fsync(self.stream.fileno())
        except OSError as error:
            raise self._told(error) from None

    def commit(self) -> None:
        """Bring all to the disk and put it in its place, at once.

        Raises `OSError`, after which no file is changed; a pipe or a device may have taken a part.
        """
        self.flush()
        self.place()

    def place(self) -> None:
        """Put what was flushed in its place, at once. Raises `OSError`, after which no file is changed."""
        try:
            self.stream.close()
            if not self._as_it_is:
                self._written.replace(self._target)
        except OSError as error:
            raise self._told(error) from None

    def discard(self) -> None:
        """Leave what was there before. Nothing where it was committed."""
        with contextlib.suppress(OSError):  # closing tries once more to write what could not be written
            self.stream.close()
        if not self._as_it_is:
            self._written.unlink(missing_ok=True)

    def _told(self, error: OSError) -> OSError:
        # Of the file that was asked for, not of the one beside it.
        return type(error)(error.errno, error.strerror or str(error), str(self.path))


def write_whole(path: Path, data: bytes, *, new: bool = False) -> None:
    """Write a file; `new`: only where there is none. Raises `OSError` naming `path`, and no file is changed then."""
    with WholeFile(path, new=new) as file:
        file.write(data)
        file.commit()


def write_files(folder: Path, files: Mapping[str, bytes]) -> None:
    """Write files of a folder, by their names: where one has no room, none is written. Raises `OSError` naming it.

    Once all are on the disk they are put in their places one after the other, each at once: should that fail for one
    (its folder was taken away, say), those before it are replaced, and it and those after it are as they were.
    """
    with ExitStack() as discarded:
        begun = [(discarded.enter_context(WholeFile(folder / name)), data) for name, data in files.items()]
        for file, data in begun:
            file.write(data)
            file.flush()
        for file, _ in begun:
            file.place()
