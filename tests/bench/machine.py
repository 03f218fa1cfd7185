"""The machine and the versions that a table was made on."""

from __future__ import annotations

import os
import platform
import shlex
import sysconfig
from collections.abc import Iterator
from importlib.metadata import version
from pathlib import Path

from tests.bench import peers

_BUILD_FLAGS = {"--enable-optimizations": "profile-guided optimization", "--with-lto": "link-time optimization"}
_LIBRARIES = ("splicewright", "durable_rules", "marshmallow", "orjson", "flask", "waitress")


def described() -> str:
    """Give the machine, how the interpreter was built, and the versions, in three lines."""
    cores = len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count()
    found = [f"{cores} cores of {_processor()}", f"{platform.system()} {platform.machine()}"]
    found.append(f"{platform.python_implementation()} {platform.python_version()}")
    return f"{', '.join(found)}\n{built(sysconfig.get_config_var('CONFIG_ARGS'))}\n{', '.join(_versions())}\n"


def built(arguments: str | None) -> str:
    """Tell how an interpreter was built, from what its `configure` was called with: what makes it quicker, or not."""
    if arguments is None:
        return "The interpreter does not tell how it was built."
    given = [one.partition("=") for one in shlex.split(arguments)]
    on = {name for name, _, value in given if value != "no"}
    told = [f"{'with' if flag in on else 'without'} {flag} ({what})" for flag, what in _BUILD_FLAGS.items()]
    return f"The interpreter was built {' and '.join(told)}."


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
