"""Starts the project's commands, and the bench's own, in processes of their own: of this version or of another."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Mapping
from pathlib import Path

CHECKOUT = Path(__file__).parents[2]


def splicewright(*arguments: str) -> list[str]:
    """Give the command line of a command of the project, as its installed script starts it."""
    return [sys.executable, "-c", "import sys; from splicewright.cli.main import main; sys.exit(main())", *arguments]


def bench_module(name: str, *arguments: str) -> list[str]:
    """Give the command line of a module of the bench, to be run in the checkout."""
    return [sys.executable, "-m", f"tests.bench.{name}", *arguments]


def environment(checkout: Path) -> Mapping[str, str]:
    """Give the environment in which the package of a checkout answers, asked by this version's bench."""
    return {**os.environ, "PYTHONPATH": os.pathsep.join((str(checkout / "service"), str(CHECKOUT)))}


def installed(checkout: Path, folder: Path) -> Path:
    """Install the package of a checkout as users have it, its rules read; give the folder, for `environment`."""
    target = str(folder / "service")
    command = [sys.executable, "-m", "pip", "install", "--quiet", "--no-deps", "--target", target, str(checkout)]
    environment = {name: value for name, value in os.environ.items() if name != "PYTHONPATH"}
    subprocess.run(command, cwd=folder, env=environment, check=True)
    return folder
