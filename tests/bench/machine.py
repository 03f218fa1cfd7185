"""The machine and the versions that a table was made on."""

from __future__ import annotations

import os
import platform
from collections.abc import Iterator
from importlib.metadata import version
from pathlib import Path

from tests.bench import peers

_LIBRARIES = ("splicewright", "durable_rules", "marshmallow", "orjson", "flask", "waitress")


def described() -> str:
    """Give the machine and the versions, in two lines."""
    cores = len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count()
    found = [f"{cores} cores of {_processor()}", f"{platform.system()} {platform.machine()}"]
    found.append(f"{platform.python_implementation()} {platform.python_version()}")
    return f"{', '.join(found)}\n{', '.join(_versions())}\n"


def _processor() -> str:
    try:
        lines = Path("/proc/cpuinfo").read_text(encoding="utf-8").splitlines()
    except OSError:
        lines = []
    names = (line.partition(":")[2].strip() for line in lines if line.startswith("model name"))
    return next(names, platform.processor() or "an unnamed processor")


def _versions() -> Iterator[str]:
    for name in _LIBRARIES:
        yield f"{name} {version(name)}"
    for name, installed in peers.libraries():
        yield f"{name} {version(name) if installed else 'not installed: its rows are missing'}"
