from __future__ import annotations

from pathlib import Path

import pytest


def pytest_ignore_collect(collection_path: Path, config: pytest.Config) -> bool | None:
    """Pass over the requests made of the document where they are not to run: only to collect them takes seconds."""
    if collection_path.name == "test_fuzzing.py" and config.option.markexpr == "not slow":
        return True
    return None
