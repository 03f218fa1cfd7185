"""A copy of the repository in which something is carried on, to see what else that changes."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).parents[1]
_FOLDERS = ("service", "rulesets", "openapi", "tests", "docker", ".ci")
_FILES = ("README.md", "DEVELOPERS.md", "pyproject.toml")
_NOT = ("__pycache__", ".hypothesis", "node_modules", "*_cache")  # left behind by what was run


@dataclass(frozen=True)
class Scratch:
    """A copy in a folder, and each of its files as it was at first."""

    folder: Path
    first: Mapping[str, bytes]

    def run(self, *command: str) -> str:
        """Run a module of the copy (`pytest`, `tests.readme`) and give what it printed. Raises where it fails."""
        # The copy keeps its bytecode, also where the repository is to have none: a recipe starts Python many times.
        kept = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
        ended = subprocess.run(
            [sys.executable, "-m", *command],
            cwd=self.folder,
            env={**kept, "PYTHONPATH": f"{self.folder / 'service'}{os.pathsep}{self.folder}"},
            capture_output=True,
            text=True,
            timeout=900,
            check=False,
        )
        assert ended.returncode == 0, f"{' '.join(command)}\n{ended.stdout[-6000:]}{ended.stderr[-3000:]}"
        return ended.stdout

    def put(self, name: str, behind: str, text: str) -> None:
        """Put a text into a file, behind another one that stands there once."""
        path = self.folder / name
        before = path.read_text(encoding="utf-8")
        assert before.count(behind) == 1, (name, behind)
        path.write_text(before.replace(behind, behind + text), encoding="utf-8")

    def changed(self) -> set[str]:
        """Give the files that came, went, or have other bytes than at first."""
        now = _bytes(self.folder)
        return {name for name in {*self.first, *now} if self.first.get(name) != now.get(name)}


def scratch(folder: Path) -> Scratch:
    """Copy all that tests and generators read into a folder that is not there yet."""
    folder.mkdir()
    for name in _FOLDERS:
        shutil.copytree(ROOT / name, folder / name, ignore=shutil.ignore_patterns(*_NOT))
    for name in _FILES:
        shutil.copy2(ROOT / name, folder / name)
    return Scratch(folder, _bytes(folder))


def _bytes(folder: Path) -> dict[str, bytes]:
    found = [path for path in folder.rglob("*") if path.is_file()]
    kept = [path for path in found if not any(part.match(one) for part in (path, *path.parents) for one in _NOT)]
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in kept}
