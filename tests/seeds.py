"""Seeds of what is generated: a test each, so that they are shared out among processes and told apart."""

from __future__ import annotations

from typing import Any

import pytest


def seeds(count: int, *, fast: int) -> list[Any]:
    """Give so many seeds, of which all but the first few are slow."""
    return [*range(fast), *(pytest.param(seed, marks=pytest.mark.slow) for seed in range(fast, count))]
