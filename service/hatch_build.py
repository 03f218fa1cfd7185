"""Writes into a wheel what its YAML files are read to (`splicewright/shipped.py` tells why)."""

from __future__ import annotations

import sys
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from hatchling.builders.hooks.plugin.interface import BuildHookInterface


class CustomBuildHook(BuildHookInterface[Any]):
    """What hatchling calls when it builds a wheel."""

    def initialize(self, version: str, build_data: dict[str, Any]) -> None:
        """Write what is read of each file of rules. An editable install reads the checkout."""
        if version == "editable":
            return
        root = Path(self.root)
        sys.path.insert(0, str(root / "service"))
        from splicewright import shipped  # noqa: PLC0415 - it is not installed yet

        self._made = TemporaryDirectory()
        for path in sorted((root / "rulesets").rglob("*.yaml")):
            content = path.read_bytes()
            made = Path(self._made.name) / shipped.written_name(content)
            made.write_bytes(shipped.written(content))
            build_data["force_include"][str(made)] = f"splicewright/data/{shipped.READ}/{made.name}"

    def finalize(self, _version: str, _build_data: dict[str, Any], _artifact_path: str) -> None:
        """Leave nothing behind."""
        if hasattr(self, "_made"):
            self._made.cleanup()
