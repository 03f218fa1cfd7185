from __future__ import annotations

import gc
from collections.abc import Callable, Generator, Iterator
from unittest.mock import patch

import pytest
from hypothesis import settings

import tests.chosen  # noqa: F401 - before anything is started
from tests.turns import turn

# No deadline for one example: the first to convert a unit also loads the unit library.
settings.register_profile("splicewright", deadline=None)
settings.load_profile("splicewright")


def pytest_collection_finish() -> None:
    """Let the garbage collector pass over what was collected: thousands of tests, there to the end."""
    gc.collect()
    gc.freeze()


@pytest.fixture(scope="session", autouse=True)
def unfreeze() -> Iterator[Callable[[], None]]:
    """Let it pass over them also where the service settles anew. Gives what takes them in again."""
    real = gc.unfreeze
    with patch.object(gc, "unfreeze"):
        yield real


@pytest.hookimpl(wrapper=True)
def pytest_runtest_protocol(item: pytest.Item) -> Generator[None, object, object]:
    """Run a test in its turn."""
    with turn(alone=item.get_closest_marker("alone") is not None):
        return (yield)
